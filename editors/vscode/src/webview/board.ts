import { drawBoard } from "../board/drawing";
import { readFen, squareOf, type Side } from "../board/position";
import type { Shape } from "../board/shape";
import { heading, pieceList, state } from "../board/words";
import type { FromPanel, ToPanel } from "../protocol";

/** The panel's own script: draws what it is sent, and lets the keyboard walk over the board. */

interface Host {
  postMessage(message: FromPanel): void;
  getState(): unknown;
  setState(state: ToPanel): void;
}
declare function acquireVsCodeApi(): Host;

const host = acquireVsCodeApi();
const SVG = "http://www.w3.org/2000/svg";

function part(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (found === null) {
    throw new Error(`The page has no part "${id}".`);
  }
  return found;
}

function write(id: string, text: string): void {
  const place = part(id);
  // A live region speaks at each change, so what stays the same is left alone.
  if (place.textContent !== text) {
    place.textContent = text;
  }
}

function toElement(of: Shape): SVGElement {
  const element = document.createElementNS(SVG, of.tag);
  for (const [name, value] of Object.entries(of.attributes)) {
    if (name !== "xmlns") {
      element.setAttribute(name, value);
    }
  }
  element.append(...of.children.map((child) => (typeof child === "string" ? child : toElement(child))));
  return element as SVGElement;
}

/** The square that Tab leads to. It stays where the reader left it when the position changes. */
let current = "e4";
let bottom: Side = "white";

function cells(): SVGElement[] {
  return [...part("board").querySelectorAll<SVGElement>("[data-square]")];
}

function choose(square: string, focus: boolean): void {
  current = square;
  for (const cell of cells()) {
    const here = cell.dataset["square"] === square;
    cell.setAttribute("tabindex", here ? "0" : "-1");
    if (here && focus) {
      cell.focus();
    }
  }
}

function show(message: ToPanel): void {
  host.setState(message);
  const board = part("board");
  const focused = board.contains(document.activeElement);
  const position = message.kind === "position" ? readFen(message.answer.fen) : undefined;
  if (message.kind === "nothing" || position === undefined) {
    write("heading", "No position");
    write("state", message.kind === "nothing" ? message.why : "The server sent a position that cannot be read.");
    board.replaceChildren();
    part("comment").hidden = true;
    part("words").hidden = true;
    return;
  }
  const { answer } = message;
  bottom = message.bottom;
  const from = squareOf(answer.lastMove?.[0]);
  const to = squareOf(answer.lastMove?.[1]);
  const check = squareOf(answer.check ?? undefined);
  const title = heading(answer.move ?? undefined);
  const summary = answer.summary ?? state(position, check !== undefined);
  board.replaceChildren(
    toElement(
      drawBoard(
        position,
        {
          bottom,
          lastMove: from !== undefined && to !== undefined ? [from, to] : undefined,
          check,
          label: `${title}. ${summary}.`,
        },
        "grid",
      ),
    ),
  );
  choose(current, focused);
  write("heading", title);
  write("state", summary);
  const comment = answer.comment?.trim() ?? "";
  write("comment", comment);
  part("comment").hidden = comment === "";
  write("white", pieceList(position, "white"));
  write("black", pieceList(position, "black"));
  write("fen", answer.fen);
  part("words").hidden = false;
}

/** Where an arrow key leads; a square at the edge stays. */
function walk(square: string, right: number, up: number): string {
  const turn = bottom === "white" ? 1 : -1;
  const clamp = (value: number): number => Math.min(7, Math.max(0, value));
  const file = clamp(square.charCodeAt(0) - 97 + right * turn);
  const rank = clamp(square.charCodeAt(1) - 49 + up * turn);
  return String.fromCharCode(97 + file) + String(rank + 1);
}

const WALKS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
  Home: [-7, 0],
  End: [7, 0],
  PageUp: [0, 7],
  PageDown: [0, -7],
};

function pressed(key: string): FromPanel | undefined {
  switch (key.toLowerCase()) {
    case "n":
      return { kind: "step", direction: "next" };
    case "p":
      return { kind: "step", direction: "previous" };
    case "f":
      return { kind: "flip" };
    default:
      return undefined;
  }
}

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey) {
    return;
  }
  const command = pressed(event.key);
  if (command !== undefined) {
    event.preventDefault();
    host.postMessage(command);
    return;
  }
  const way = WALKS[event.key];
  if (way !== undefined && part("board").contains(document.activeElement)) {
    event.preventDefault();
    choose(walk(current, way[0], way[1]), true);
  }
});

part("board").addEventListener("click", (event) => {
  const cell = event.target instanceof Element ? event.target.closest<SVGElement>("[data-square]") : null;
  if (cell?.dataset["square"] !== undefined) {
    choose(cell.dataset["square"], true);
  }
});

part("previous").addEventListener("click", () => host.postMessage({ kind: "step", direction: "previous" }));
part("next").addEventListener("click", () => host.postMessage({ kind: "step", direction: "next" }));
part("flip").addEventListener("click", () => host.postMessage({ kind: "flip" }));
part("copy").addEventListener("click", () => host.postMessage({ kind: "copyFen" }));

window.addEventListener("message", (event: MessageEvent<ToPanel>) => show(event.data));

const before = host.getState();
if (typeof before === "object" && before !== null && "kind" in before) {
  show(before as ToPanel);
}
host.postMessage({ kind: "ready" });
