// What is told without being looked for: shown for a while, or heard only. Both lines stand on every
// page from the first paint, for a reader on the screen hears what changes, not what appears.
let timer;

function put(line, text) {
  line.textContent = "";
  setTimeout(() => { line.textContent = text; }, 50); // the same words twice are told twice
}

export function say(text, milliseconds = 6000) {
  const line = document.getElementById("said");
  put(line, text);
  clearTimeout(timer);
  timer = setTimeout(() => { line.textContent = ""; }, milliseconds);
}

export const tell = (text) => put(document.getElementById("heard"), text);

// What the server says with the page is told once, when the page stands.
export function tellNotes() {
  for (const note of document.querySelectorAll("main > .note[role=status]")) {
    note.removeAttribute("role");
    setTimeout(() => tell(note.textContent), 400);
  }
}
