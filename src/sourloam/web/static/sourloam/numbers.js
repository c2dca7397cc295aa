// Numbers as people type them: with a point or a comma, within the bounds of their field.
const comma = (1.5).toLocaleString(document.documentElement.lang).includes(",");

export const numberOf = (text) => Number(String(text).trim().replace(",", ".").replace("−", "-"));
export const written = (value) => (comma ? String(value).replace(".", ",") : String(value));

export function check(field) {
  const { min, max } = field.dataset, value = numberOf(field.value);
  const outside = field.value.trim() !== "" && (value < Number(min) || value > Number(max));
  const words = document.body.dataset.sayBetween ?? "";
  field.setCustomValidity(outside ? words.replace("{low}", written(min)).replace("{high}", written(max)) : "");
}

export function step(field, by) {
  const { min = field.min, max = field.max } = field.dataset;
  const value = Math.min(Math.max(numberOf(field.value || field.placeholder || 0) + by, Number(min)), Number(max));
  const text = String(Number(value.toFixed(3)));
  field.value = field.type === "text" ? written(text) : text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

// What is wanted, in the page's language and not in the browser's.
function wanted({ validity, type, title }) {
  const say = document.body.dataset;
  if (validity.valueMissing) return /radio|select/.test(type) ? say.sayChoose : say.sayMissing;
  return validity.patternMismatch && title ? say.sayWrite.replace("{what}", title) : "";
}

export function listenToNumbers() {
  document.addEventListener("invalid", ({ target }) => {
    if (target.validity.customError) return;
    target.setCustomValidity(wanted(target));
    target.dataset.wanted = "1";
  }, true);
  document.addEventListener("input", ({ target }) => {
    for (const field of target.form?.querySelectorAll("[data-wanted]") ?? []) {
      delete field.dataset.wanted;
      field.setCustomValidity("");
    }
    if (target.dataset.min) check(target);
  });
}
