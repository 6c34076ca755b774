/** A picture as plain data, so that one drawing serves the panel, the clipboard and the tests. */
export interface Shape {
  readonly tag: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly (Shape | string)[];
}

/** Makes a shape; numbers are rounded to what the eye can see. */
export function shape(
  tag: string,
  attributes: Readonly<Record<string, string | number | undefined>> = {},
  children: readonly (Shape | string)[] = [],
): Shape {
  const plain: Record<string, string> = {};
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== undefined) {
      plain[name] = typeof value === "number" ? String(Math.round(value * 100) / 100) : value;
    }
  }
  return { tag, attributes: plain, children };
}

const ESCAPES: Readonly<Record<string, string>> = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };

function escape(text: string): string {
  return text.replace(/[&<>"]/g, (sign) => ESCAPES[sign] ?? sign);
}

/** The shape as markup, every text and attribute escaped. */
export function toMarkup(of: Shape): string {
  const attributes = Object.entries(of.attributes)
    .map(([name, value]) => ` ${name}="${escape(value)}"`)
    .join("");
  if (of.children.length === 0) {
    return `<${of.tag}${attributes}/>`;
  }
  const inner = of.children.map((child) => (typeof child === "string" ? escape(child) : toMarkup(child)));
  return `<${of.tag}${attributes}>${inner.join("")}</${of.tag}>`;
}
