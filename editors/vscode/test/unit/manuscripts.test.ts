import assert from "node:assert/strict";
import { test } from "node:test";
import { isChess, languages, manuscripts } from "../../src/manuscripts";

test("a setting that is none of the values counts as the default", () => {
  assert.equal(manuscripts("all"), "all");
  assert.equal(manuscripts("none"), "none");
  assert.equal(manuscripts(undefined), "markdown");
  assert.equal(manuscripts(true), "markdown");
});

test("the server is told of what the setting names, and always of games", () => {
  assert.deepEqual(languages("none"), ["pgn", "epd"]);
  assert.deepEqual(languages("markdown"), ["pgn", "epd", "markdown"]);
  assert.deepEqual(languages("all"), ["pgn", "epd", "markdown", "plaintext"]);
});

test("Markdown is the author's chess when it has a block of it", () => {
  const reads = (text: string) => isChess("markdown", "markdown", () => text);
  for (const text of ["```pgn\n1. e4\n```", "Words\n\n~~~~ FEN\n", "  ```epd", "# A\n````pgn puzzle\n"]) {
    assert.ok(reads(text), text);
  }
  for (const text of ["", "1. e4 e5", "```\n1. e4\n```", "```js\npgn\n```", "a ```pgn", "```pgnx"]) {
    assert.ok(!reads(text), text);
  }
  assert.ok(!isChess("markdown", "none", () => "```pgn\n```"));
});

test("plain text is read only when all manuscripts are, and other languages never", () => {
  assert.ok(isChess("plaintext", "all", () => ""));
  assert.ok(!isChess("plaintext", "markdown", () => "1. e4"));
  assert.ok(isChess("pgn", "none", () => ""));
  assert.ok(!isChess("javascript", "all", () => "```pgn"));
});
