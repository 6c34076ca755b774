/** Which documents gainsay reads: games, positions, and manuscripts with games in them. */

/** The languages of games and positions. */
export const GAMES: readonly string[] = ["pgn", "epd"];

/** The values of the setting `gainsay.manuscripts`. */
export type Manuscripts = "none" | "markdown" | "all";

/** The setting, with the default for what is not one of its values. */
export function manuscripts(value: unknown): Manuscripts {
  return value === "none" || value === "all" ? value : "markdown";
}

/** The languages of the documents that the server is told of. */
export function languages(chosen: Manuscripts): readonly string[] {
  switch (chosen) {
    case "none":
      return GAMES;
    case "markdown":
      return [...GAMES, "markdown"];
    case "all":
      return [...GAMES, "markdown", "plaintext"];
  }
}

const FENCE = /^[ \t]*(?:`{3,}|~{3,})[ \t]*(?:pgn|fen|epd)\b/im;

/** Whether a document is the author's chess: a game file, or a manuscript that holds chess. */
export function isChess(language: string, chosen: Manuscripts, text: () => string): boolean {
  if (language === "markdown") {
    return chosen !== "none" && FENCE.test(text());
  }
  return language === "plaintext" ? chosen === "all" : GAMES.includes(language);
}

/** A part of a text, in UTF-16 units. */
export interface Part {
  readonly start: number;
  readonly end: number;
}

/**
 * The part of a document around an offset that holds moves and no prose: the inside of a fenced
 * block in Markdown, a paragraph in plain text, and the whole of a game file. `undefined` in the prose.
 */
export function movesAround(language: string, text: string, offset: number): Part | undefined {
  if (language === "plaintext") {
    const before = Math.max(text.lastIndexOf("\n\n", offset - 1), text.lastIndexOf("\r\n\r\n", offset - 1));
    const after = /\r?\n\r?\n/g;
    after.lastIndex = offset;
    return { start: before < 0 ? 0 : before, end: after.exec(text)?.index ?? text.length };
  }
  if (language !== "markdown") {
    return { start: 0, end: text.length };
  }
  let open: { readonly fence: string; readonly start: number; readonly chess: boolean } | undefined;
  const line = /[^\n]*\n?/g;
  for (let found = line.exec(text); found !== null && found[0] !== ""; found = line.exec(text)) {
    const fence = /^[ \t]*(`{3,}|~{3,})/.exec(found[0])?.[1];
    if (fence === undefined) {
      continue;
    }
    if (open === undefined) {
      open = { fence, start: line.lastIndex, chess: FENCE.test(found[0]) };
    } else if (fence.startsWith(open.fence)) {
      if (open.chess && open.start <= offset && offset <= found.index) {
        return { start: open.start, end: found.index };
      }
      open = undefined;
    }
  }
  return open?.chess === true && open.start <= offset ? { start: open.start, end: text.length } : undefined;
}
