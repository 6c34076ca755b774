import { type Piece, type Position, type Role, type Side, type Square, squareName } from "./position";

/** What the panel says under the board, and what a screen reader reads out. */

const ORDER: readonly Role[] = ["king", "queen", "rook", "bishop", "knight", "pawn"];

/** The spoken label of one square: "e4, white pawn, last move". */
export function squareLabel(
  square: Square,
  piece: Piece | null,
  marks: { readonly moved: boolean; readonly checked: boolean },
): string {
  const said = [squareName(square), piece === null ? "empty" : `${piece.side} ${piece.role}`];
  if (marks.checked) {
    said.push("in check");
  }
  if (marks.moved) {
    said.push("last move");
  }
  return said.join(", ");
}

/** The pieces of one side, from the a-file on: "king g1, rooks a1 f1, pawns a2 b4"; empty if it has none. */
export function pieceList(position: Position, side: Side): string {
  const groups: string[] = [];
  for (const role of ORDER) {
    const squares: string[] = [];
    for (const [square, piece] of position.squares.entries()) {
      if (piece !== null && piece.side === side && piece.role === role) {
        squares.push(squareName(square));
      }
    }
    squares.sort();
    if (squares.length > 0) {
      groups.push(`${role}${squares.length > 1 ? "s" : ""} ${squares.join(" ")}`);
    }
  }
  return groups.join(", ");
}

/** The heading over the board. */
export function heading(move: string | undefined): string {
  return move === undefined || move === "" ? "The position given" : `After ${move}`;
}

/** One line on the state of the game: who moves, and whether there is a check. */
export function state(position: Position, check: boolean): string {
  const mover = sideName(position.mover);
  return check ? `${mover} to move, in check` : `${mover} to move`;
}

/** A side's name at the start of a sentence. */
export function sideName(side: Side): string {
  return side === "white" ? "White" : "Black";
}
