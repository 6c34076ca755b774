/** A chess position as far as drawing it needs: what stands where, and whose move it is. */

export type Side = "white" | "black";
export type Role = "king" | "queen" | "rook" | "bishop" | "knight" | "pawn";

/** One piece on the board. */
export interface Piece {
  readonly side: Side;
  readonly role: Role;
}

/** Squares are numbered from a1 = 0 along the ranks to h8 = 63. */
export type Square = number;

/** What stands on each of the 64 squares, and the side to move. */
export interface Position {
  readonly squares: readonly (Piece | null)[];
  readonly mover: Side;
}

const ROLES: Readonly<Record<string, Role>> = {
  k: "king",
  q: "queen",
  r: "rook",
  b: "bishop",
  n: "knight",
  p: "pawn",
};

/**
 * Reads the first two fields of a FEN (PGN standard, section 16.1.3). Anything that is
 * not eight ranks of eight squares gives `undefined`; an unknown or absent second field
 * reads as White to move.
 */
export function readFen(fen: string): Position | undefined {
  const fields = fen.trim().split(/\s+/, 2);
  const ranks = (fields[0] ?? "").split("/");
  if (ranks.length !== 8) {
    return undefined;
  }
  const squares: (Piece | null)[] = new Array<Piece | null>(64).fill(null);
  for (const [down, rank] of ranks.entries()) {
    let file = 0;
    for (const sign of rank) {
      if (sign >= "1" && sign <= "8") {
        file += Number(sign);
        continue;
      }
      const role = ROLES[sign.toLowerCase()];
      if (role === undefined || file > 7) {
        return undefined;
      }
      squares[(7 - down) * 8 + file] = { side: sign === sign.toLowerCase() ? "black" : "white", role };
      file += 1;
    }
    if (file !== 8) {
      return undefined;
    }
  }
  return { squares, mover: fields[1] === "b" ? "black" : "white" };
}

/** The name of a square, `a1` to `h8`. */
export function squareName(square: Square): string {
  return "abcdefgh".charAt(square % 8) + String(Math.floor(square / 8) + 1);
}

/** The square of a name such as `e4`, or `undefined` if it names none. */
export function squareOf(name: string | undefined): Square | undefined {
  if (name === undefined || !/^[a-h][1-8]$/.test(name)) {
    return undefined;
  }
  return name.charCodeAt(0) - 97 + (name.charCodeAt(1) - 49) * 8;
}
