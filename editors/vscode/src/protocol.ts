/** What the extension and the server say to each other beyond the standard protocol, and to the panel. */

/** The command of the server that tells the position at a place: `[uri, position]`. */
export const POSITION = "gainsay.board";

/** The command of the server that steps from move to move: `[uri, position, direction]`. */
export const STEP = "gainsay.step";

/** Where a step goes to. */
export type Direction = "next" | "previous" | "start" | "end";

/** The command of the server that counts what a document holds: `[uri]`. */
export const COUNTS = "gainsay.counts";

/** The answer to `POSITION`; `null` where the place belongs to no game. */
export interface PositionAnswer {
  readonly fen: string;
  /** The move before the position, with its number: "12...Nxe4". */
  readonly move?: string | null;
  /** Who is to move, check, mate, material: one line. */
  readonly summary?: string | null;
  /** The squares of the last move, from and to; empty where there is none. */
  readonly lastMove?: readonly string[] | null;
  /** The square of a king in check. */
  readonly check?: string | null;
  /** The comment behind the move. */
  readonly comment?: string | null;
}

/** The answer to `STEP`; `null` where the line ends. */
export interface StepAnswer extends PositionAnswer {
  /** Where the move stands, as the protocol writes it. */
  readonly position: { readonly line: number; readonly character: number };
}

/** The answer to `COUNTS`: findings by severity, claims by verdict as far as they are settled. */
export interface CountsAnswer {
  readonly findings: {
    readonly error: number;
    readonly warning: number;
    readonly information: number;
    readonly hint: number;
  };
  readonly claims: { readonly holds: number; readonly fails: number; readonly unsettled: number };
  /** Whether more claims are being settled. */
  readonly settling: boolean;
}

/** To the panel. */
export type ToPanel =
  | { readonly kind: "position"; readonly answer: PositionAnswer; readonly bottom: "white" | "black"; readonly document: string }
  | { readonly kind: "nothing"; readonly why: string };

/** From the panel. */
export type FromPanel =
  | { readonly kind: "ready" }
  | { readonly kind: "step"; readonly direction: Direction }
  | { readonly kind: "flip" }
  | { readonly kind: "copyFen" };

/** Whether an answer of the server has the shape agreed upon. */
export function isPositionAnswer(value: unknown): value is PositionAnswer {
  return typeof value === "object" && value !== null && typeof (value as { fen?: unknown }).fen === "string";
}

/** Whether an answer of the server counts what a document holds. */
export function isCountsAnswer(value: unknown): value is CountsAnswer {
  const { findings, claims } = (value ?? {}) as Partial<CountsAnswer>;
  const counts = [findings?.error, findings?.warning, findings?.information, findings?.hint];
  return [...counts, claims?.holds, claims?.fails, claims?.unsettled].every((count) => typeof count === "number");
}

/** Whether an answer of the server leads to a place. */
export function isStepAnswer(value: unknown): value is StepAnswer {
  return isPositionAnswer(value) && typeof (value as { position?: { line?: unknown } }).position?.line === "number";
}
