// Who works by keys or by ear must not lose the place on the page when the page changes.
const CAN = "a[href], button, summary, input:not([type=hidden]), select, textarea";
const nameOf = (part) => part.id || part.getAttribute("aria-label") || part.textContent.trim() || part.name;

export function stand(part, options) {
  if (!part) return;
  if (!part.matches(CAN)) part.tabIndex = -1;
  part.focus(options);
}

// After a slip is done the next one is at hand, else the line that counts them.
export function leave(slip) {
  const slips = [...document.querySelectorAll(".slip")].filter((one) => one === slip || one.checkVisibility());
  const at = slips.indexOf(slip), next = slips[at + 1] ?? slips[at - 1];
  stand(next?.querySelector("a.what") ?? document.querySelector("main h1"), { preventScroll: !next });
}

// Where the focus is, to be found again among the parts that come instead.
export function held(main) {
  const part = document.activeElement;
  if (part === main || !main.contains(part)) return () => {};
  const name = nameOf(part), slip = part.closest("[data-slip]")?.dataset.slip;
  return () => {
    const same = [...main.querySelectorAll(part.matches(CAN) ? CAN : part.localName)].filter((one) => nameOf(one) === name);
    const near = same.find((one) => one.closest("[data-slip]")?.dataset.slip === slip) ?? same[0];
    stand(near ?? main.querySelector("h1"), { preventScroll: true });
  };
}
