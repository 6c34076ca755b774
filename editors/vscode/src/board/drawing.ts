import set from "../../media/pieces.json";
import { type Piece, type Position, type Side, type Square, squareName } from "./position";
import { type Shape, shape } from "./shape";
import { squareLabel } from "./words";

/** What to draw besides the pieces. */
export interface Marks {
  /** The side at the bottom of the picture. */
  readonly bottom: Side;
  /** The squares of the last move, from and to. */
  readonly lastMove?: readonly [Square, Square] | undefined;
  /** The square of a king in check. */
  readonly check?: Square | undefined;
  /** Text for those who do not see the picture. */
  readonly label: string;
}

/** The colours, chosen for this project; each piece stands out from both squares by its outline. */
export const COLOURS = {
  light: "#f3e6e4",
  dark: "#8f87b8",
  white: "#fffdf7",
  black: "#2b2440",
  whiteOutline: "#2b2440",
  blackOutline: "#f7f2fb",
  moved: "#f2c14e",
  corner: "#b97a00",
  check: "#c8102e",
  margin: "#2b2440",
  letters: "#f3e6e4",
} as const;

const CELL = set.size;
const MARGIN = CELL * 0.32;

/** The width and the height of the whole picture, in the picture's own units. */
export const EXTENT = CELL * 8 + MARGIN * 2;

/**
 * Draws a board as SVG. Every square is a cell of an ARIA grid with a spoken label, so
 * that the panel can be walked with the arrow keys; as a lone picture it is one image
 * with `marks.label` as its text.
 */
export function drawBoard(position: Position, marks: Marks, use: "grid" | "image"): Shape {
  const rows: Shape[] = [];
  for (let row = 0; row < 8; row += 1) {
    const cells: Shape[] = [];
    for (let column = 0; column < 8; column += 1) {
      cells.push(drawSquare(position, marks, row, column, use));
    }
    rows.push(shape("g", use === "grid" ? { role: "row" } : {}, cells));
  }
  return shape(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      viewBox: `0 0 ${EXTENT} ${EXTENT}`,
      role: use === "grid" ? "grid" : "img",
      "aria-label": marks.label,
      ...(use === "grid" ? { "aria-readonly": "true" } : {}),
    },
    [
      shape("rect", { class: "margin", width: EXTENT, height: EXTENT, rx: MARGIN / 3, fill: COLOURS.margin }),
      ...drawNames(marks.bottom),
      ...rows,
    ],
  );
}

/** The square shown in a row (from the top) and a column (from the left). */
export function squareAt(row: number, column: number, bottom: Side): Square {
  return bottom === "white" ? (7 - row) * 8 + column : row * 8 + (7 - column);
}

function drawSquare(
  position: Position,
  marks: Marks,
  row: number,
  column: number,
  use: "grid" | "image",
): Shape {
  const square = squareAt(row, column, marks.bottom);
  const piece = position.squares[square] ?? null;
  const x = MARGIN + column * CELL;
  const y = MARGIN + row * CELL;
  const isDark = (square + Math.floor(square / 8)) % 2 === 0;
  const moved = marks.lastMove !== undefined && marks.lastMove.includes(square);
  const checked = marks.check === square;

  const parts: Shape[] = [
    shape("rect", {
      class: isDark ? "dark" : "light",
      width: CELL,
      height: CELL,
      fill: isDark ? COLOURS.dark : COLOURS.light,
    }),
  ];
  if (moved) {
    parts.push(...drawMoved());
  }
  if (checked) {
    parts.push(drawCheck());
  }
  if (piece !== null) {
    parts.push(...drawPiece(piece));
  }
  const attributes: Record<string, string> = { transform: `translate(${round(x)} ${round(y)})` };
  if (use === "grid") {
    attributes["role"] = "gridcell";
    attributes["data-square"] = squareName(square);
    attributes["aria-label"] = squareLabel(square, piece, { moved, checked });
    parts.push(shape("rect", { class: "ring", x: 4, y: 4, width: CELL - 8, height: CELL - 8, fill: "none" }));
  }
  return shape("g", attributes, parts);
}

/** The squares of the last move carry corners too, since colour alone does not reach everyone. */
function drawMoved(): Shape[] {
  const corner = CELL * 0.2;
  const far = CELL;
  return [
    shape("rect", { class: "moved", width: CELL, height: CELL, fill: COLOURS.moved, "fill-opacity": 0.85 }),
    shape("path", {
      class: "corners",
      d: `M0 0H${corner}L0 ${corner}Z M${far} 0V${corner}L${far - corner} 0Z M${far} ${far}H${far - corner}L${far} ${far - corner}Z M0 ${far}V${far - corner}L${corner} ${far}Z`,
      fill: COLOURS.corner,
    }),
  ];
}

function drawCheck(): Shape {
  return shape("rect", {
    class: "check",
    x: 5,
    y: 5,
    width: CELL - 10,
    height: CELL - 10,
    rx: 12,
    fill: "none",
    stroke: COLOURS.check,
    "stroke-width": 9,
    "stroke-dasharray": "18 8",
  });
}

function drawPiece(piece: Piece): Shape[] {
  const drawn = set.pieces[piece.role];
  const white = piece.side === "white";
  const stroke = {
    stroke: white ? COLOURS.whiteOutline : COLOURS.blackOutline,
    "stroke-width": white ? set.outline : set.outline - 1,
    "stroke-linejoin": "round",
    "stroke-linecap": "round",
  };
  return [
    shape("path", { class: piece.side, d: drawn.body, fill: white ? COLOURS.white : COLOURS.black, ...stroke }),
    shape("path", { class: `${piece.side}-lines`, d: drawn.lines, fill: "none", ...stroke }),
  ];
}

/** The letters of the files and the digits of the ranks; the cells' labels say them already. */
function drawNames(bottom: Side): Shape[] {
  const names: Shape[] = [];
  const put = (text: string, x: number, y: number): void => {
    names.push(
      shape(
        "text",
        {
          class: "name",
          x,
          y,
          fill: COLOURS.letters,
          "font-family": "sans-serif",
          "font-size": MARGIN * 0.68,
          "text-anchor": "middle",
          "dominant-baseline": "central",
          "aria-hidden": "true",
        },
        [text],
      ),
    );
  };
  for (let at = 0; at < 8; at += 1) {
    const middle = MARGIN + (at + 0.5) * CELL;
    put(squareName(squareAt(7, at, bottom)).charAt(0), middle, EXTENT - MARGIN / 2);
    put(squareName(squareAt(at, 0, bottom)).charAt(1), MARGIN / 2, middle);
  }
  return names;
}

function round(value: number): string {
  return String(Math.round(value * 100) / 100);
}
