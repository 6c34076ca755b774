/** What the extension and the server say to each other beyond the standard protocol, and to the panel. */

/** The command of the server that tells the position at a place in a document. */
export const POSITION = "gainsay.position";

/** Its answer; `null` where the place belongs to no game. */
export interface PositionAnswer {
  readonly fen: string;
  /** The move before the position, with its number: "12...Nxe4". */
  readonly move?: string | null;
  readonly lastMove?: readonly [string, string] | null;
  /** The square of a king in check. */
  readonly check?: string | null;
  /** The comment behind the move. */
  readonly comment?: string | null;
}

/** To the panel. */
export type ToPanel =
  | { readonly kind: "position"; readonly answer: PositionAnswer; readonly bottom: "white" | "black"; readonly document: string }
  | { readonly kind: "nothing"; readonly why: string };

/** From the panel. */
export type FromPanel =
  | { readonly kind: "ready" }
  | { readonly kind: "step"; readonly direction: 1 | -1 }
  | { readonly kind: "flip" }
  | { readonly kind: "copyFen" };

/** Whether an answer of the server has the shape agreed upon. */
export function isPositionAnswer(value: unknown): value is PositionAnswer {
  return typeof value === "object" && value !== null && typeof (value as { fen?: unknown }).fen === "string";
}
