"""Numbers as text and as JSON, from `wizard.plug` alone."""
