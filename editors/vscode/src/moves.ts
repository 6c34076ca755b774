/** Walks over the moves of a game's text, for the commands that step from move to move. */

/** A move as written. Offsets are UTF-16 units of the whole text. */
export interface WrittenMove {
  readonly start: number;
  readonly end: number;
  /** The line it belongs to; 0 is the main line of the first game read. */
  readonly line: number;
}

interface Line {
  /** The move this line stands behind, and so replaces; -1 for a main line. */
  readonly parent: number;
  readonly start: number;
  end: number;
}

interface Movetext {
  readonly moves: readonly WrittenMove[];
  readonly lines: readonly Line[];
}

const TOKEN = new RegExp(
  [
    String.raw`(?<skip>\{[^}]*\}?|;[^\n]*|^%[^\n]*|\$\d+|1-0|0-1|1/2-1/2|\*)`,
    String.raw`(?<tag>^[ \t]*\[[^"\]\n]*(?:"(?:[^"\\\n]|\\.)*"?)?[^\]\n]*\]?)`,
    String.raw`(?<open>\()`,
    String.raw`(?<close>\))`,
    String.raw`(?<move>0-0(?:-0)?[+#!?]*|[\p{L}\u2654-\u265F][^\s(){};$\[\]]*)`,
    String.raw`(?<other>\d+\s*\.*|.)`,
  ].join("|"),
  "gmu",
);

/** How far before the cursor a game's tags are looked for, in UTF-16 units. */
const REACH = 1_000_000;

/** Where the game around an offset begins: its `[Event` tag, or the start of what is looked at. */
export function gameStart(text: string, offset: number): number {
  const from = Math.max(0, offset - REACH);
  let at = text.lastIndexOf("[Event ", offset);
  while (at > from) {
    if (text[at - 1] === "\n" || text[at - 1] === "\r") {
      return at;
    }
    at = text.lastIndexOf("[Event ", at - 1);
  }
  return from;
}

function read(text: string, start: number, end: number): Movetext {
  const moves: WrittenMove[] = [];
  const lines: Line[] = [{ parent: -1, start, end }];
  const open: number[] = [0];
  const last: number[] = [-1];
  const top = (): number => open[open.length - 1] ?? 0;

  TOKEN.lastIndex = start;
  for (let found = TOKEN.exec(text); found !== null && found.index < end; found = TOKEN.exec(text)) {
    const groups = found.groups ?? {};
    if (groups["move"] !== undefined) {
      last[last.length - 1] = moves.length;
      moves.push({ start: found.index, end: TOKEN.lastIndex, line: top() });
    } else if (groups["open"] !== undefined) {
      lines.push({ parent: last[last.length - 1] ?? -1, start: found.index, end });
      open.push(lines.length - 1);
      last.push(-1);
    } else if (groups["close"] !== undefined && open.length > 1) {
      const closed = lines[top()];
      if (closed !== undefined) {
        closed.end = found.index + 1;
      }
      open.pop();
      last.pop();
    } else if (groups["tag"] !== undefined) {
      // The tags of another game end every line that was left open.
      if (moves.length > 0) {
        lines.push({ parent: -1, start: found.index, end });
        open.splice(0, open.length, lines.length - 1);
        last.splice(0, last.length, -1);
      }
    }
  }
  return { moves, lines };
}

/**
 * The move to go to from `offset`: one on or one back in the line the cursor is in. Back
 * from the first move of a side-line leads to the move it replaces. `undefined` at either end.
 */
export function step(text: string, offset: number, direction: 1 | -1): WrittenMove | undefined {
  const start = gameStart(text, offset);
  const { moves, lines } = read(text, start, Math.min(text.length, offset + REACH));

  // The innermost line around the cursor is the last one that begins before it and is still open there.
  let inside = 0;
  for (const [index, line] of lines.entries()) {
    if (line.start < offset && offset < line.end) {
      inside = index;
    }
  }
  if (direction === 1) {
    return moves.find((move) => move.line === inside && move.start > offset);
  }
  let before: WrittenMove | undefined;
  for (const move of moves) {
    if (move.line === inside && move.end < offset) {
      before = move;
    } else if (move.start >= offset) {
      break;
    }
  }
  // The cursor stands in a move, or right behind it: that one is not a step back.
  const at = moves.find((move) => move.line === inside && move.start <= offset && offset <= move.end);
  if (at !== undefined && before === at) {
    before = undefined;
  }
  const parent = lines[inside]?.parent ?? -1;
  return before ?? (parent >= 0 ? moves[parent] : undefined);
}
