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
