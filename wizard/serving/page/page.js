"use strict";
// What the page does around its terminal; loaded before it.

// A word on the screen that looks like an address is text, not a way out of the page.
window.open = () => null;

// Browsers give a page without encryption no clipboard; copying works all the same.
if (navigator.clipboard === undefined)
  Object.defineProperty(navigator, "clipboard", {
    value: {
      readText: async () => "",
      writeText: async (text) => {
        const before = document.activeElement;
        const field = document.createElement("textarea");
        field.value = text;
        document.body.append(field);
        field.select();
        document.execCommand("copy");
        field.remove();
        before.focus();
      },
    },
  });

// The cookie has the token now: keep it out of the address, where it would be seen.
history.replaceState(null, "", "/");

// Why a window ended, by the code that it was closed with (wizard/serving/windows.py).
const ENDED = {
  1000: "You have left. Every answer is saved.",
  1001: "Plugwright was ended on the computer that serves it, where your answers are saved.",
  4001: "Too many windows are open. Leave one with Ctrl+Q, then open this one again.",
  4002: "This window was opened again elsewhere and goes on there.",
  4003: "It ended in trouble. The terminal of plugwright serve says what happened.",
};
const LOST = "The connection is lost. Your answers are saved on the computer that serves it.";

function tell(words) {
  document.getElementById("words").textContent = words;
  document.body.classList.add("-told");
  const again = document.getElementById("again");
  again.hidden = false;
  again.onclick = () => location.reload();
  again.focus();
}

// This window's mark: kept while it is loaded again, so that its old process can be ended.
function mark() {
  const kept = sessionStorage.getItem("mark");
  if (kept !== null) return kept;
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  const fresh = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  sessionStorage.setItem("mark", fresh);
  return fresh;
}

const terminal = document.getElementById("terminal");

// The largest letters with which a terminal of 80 by 24 is whole; a letter of this font
// is 0.602 of its size wide and 1.33 high.
function letters() {
  const size = Math.min(terminal.clientWidth / 80 / 0.602, terminal.clientHeight / 24 / 1.33);
  return Math.min(Math.max(Math.floor(size), 10), 32);
}

terminal.dataset.sessionWebsocketUrl = `ws://${location.host}/windows/${mark()}`;

// Keys for a touched screen, each with what a terminal's keyboard sends for it. With them
// the keyboard of the screen stays away until "abc" asks for it.
const KEYS = [
  ...Array.from("1234567890", (digit) => [digit, digit]),
  ["Esc", "\x1b"],
  ["\u25b2", "\x1b[A", "Up"],
  ["\u25bc", "\x1b[B", "Down"],
  [".", "."],
  [",", ","],
  ["/", "/"],
  ["\u2423", " ", "Space"],
  ["\u232b", "\x7f", "Backspace"],
  ["abc", ""],
  ["Enter", "\r"],
];
const keys = document.getElementById("keys");
const isTouched = getComputedStyle(keys).display !== "none";
let socket = null;

function press(codes) {
  const field = document.querySelector("textarea");
  if (codes === "") field.inputMode = field.inputMode === "none" ? "text" : "none";
  else socket.send(JSON.stringify(["stdin", codes]));
  field.focus();
}

for (const [name, codes, said] of KEYS) {
  const key = document.createElement("button");
  key.type = "button";
  key.textContent = name;
  if (said) key.setAttribute("aria-label", said);
  key.onpointerdown = (event) => event.preventDefault(); // the focus stays in the terminal
  key.onclick = () => press(codes);
  keys.append(key);
}

terminal.dataset.fontSize = letters();

window.WebSocket = class extends WebSocket {
  constructor(...given) {
    super(...given);
    socket = this;
    this.addEventListener("open", () => {
      const field = document.querySelector("textarea");
      if (isTouched) field.inputMode = "none";
      field.focus();
    });
    this.addEventListener("close", (event) => tell(ENDED[event.code] ?? LOST));
  }
};

window.addEventListener("error", () => {
  if (!document.body.classList.contains("-first-byte"))
    tell("This browser can't show the terminal. A newer one can.");
});
