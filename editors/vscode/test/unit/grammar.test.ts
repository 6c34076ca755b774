import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { test } from "node:test";
import oniguruma from "vscode-oniguruma";
import textmate from "vscode-textmate";

/** Tokenises with the very machinery that Visual Studio Code uses. */

const require = createRequire(import.meta.url);
const wasm = readFileSync(require.resolve("vscode-oniguruma/release/onig.wasm"));
const ready = oniguruma
  .loadWASM(wasm.buffer.slice(wasm.byteOffset, wasm.byteOffset + wasm.byteLength))
  .then(() => new textmate.Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns: string[]) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text: string) => new oniguruma.OnigString(text),
    }),
    getInjections: (scope: string) => (scope === "text.html.markdown" ? ["markdown.chess.codeblock"] : []),
    loadGrammar: (scope: string) => {
      if (scope === "text.html.markdown") {
        // The editor's own grammar stands here for nothing but its name.
        return Promise.resolve(textmate.parseRawGrammar(JSON.stringify({ scopeName: scope, patterns: [] }), "host.json"));
      }
      const path = `syntaxes/${scope.replace("source.", "").replace(".chess.codeblock", "")}.tmLanguage.json`;
      return Promise.resolve(textmate.parseRawGrammar(readFileSync(path, "utf8"), path));
    },
  }));

/** Each token that is not blank, with its innermost scope. */
async function tokens(scope: string, text: string): Promise<[string, string][]> {
  const grammar = await (await ready).loadGrammar(scope);
  assert.ok(grammar);
  const found: [string, string][] = [];
  let stack = textmate.INITIAL;
  for (const line of text.split("\n")) {
    const read = grammar.tokenizeLine(line, stack);
    stack = read.ruleStack;
    for (const token of read.tokens) {
      const words = line.slice(token.startIndex, token.endIndex);
      if (words.trim() !== "") {
        found.push([words, token.scopes.at(-1) ?? ""]);
      }
    }
  }
  return found;
}

async function scopeOf(text: string, words: string, scope = "source.pgn"): Promise<string | undefined> {
  return (await tokens(scope, text)).find(([found]) => found === words)?.[1];
}

test("a tag is a name and a string, with its escapes", async () => {
  assert.deepEqual(await tokens("source.pgn", '[White "Ada \\"The Fox\\" Bell"]'), [
    ["[", "punctuation.definition.tag.begin.pgn"],
    ["White", "entity.name.tag.pgn"],
    ['"', "punctuation.definition.string.begin.pgn"],
    ["Ada ", "string.quoted.double.pgn"],
    ['\\"', "constant.character.escape.pgn"],
    ["The Fox", "string.quoted.double.pgn"],
    ['\\"', "constant.character.escape.pgn"],
    [" Bell", "string.quoted.double.pgn"],
    ['"', "punctuation.definition.string.end.pgn"],
    ["]", "punctuation.definition.tag.end.pgn"],
  ]);
});

test("moves, numbers, judgements, glyphs and the result", async () => {
  assert.deepEqual(await tokens("source.pgn", "1. e4! e5 2.Qh5?! $4 Nc6 1-0"), [
    ["1.", "constant.numeric.move-number.pgn"],
    ["e4", "entity.name.function.move.pgn"],
    ["!", "keyword.operator.judgement.pgn"],
    ["e5", "entity.name.function.move.pgn"],
    ["2.", "constant.numeric.move-number.pgn"],
    ["Qh5", "entity.name.function.move.pgn"],
    ["?!", "keyword.operator.judgement.pgn"],
    ["$4", "constant.other.glyph.pgn"],
    ["Nc6", "entity.name.function.move.pgn"],
    ["1-0", "constant.language.result.pgn"],
  ]);
});

test("all ways to write a move", async () => {
  for (const move of ["O-O", "0-0-0", "Nbd7", "R1xe4", "Qh4xe1", "exd5", "e2-e4", "e8=Q", "e8Q", "exd8=N+", "Qxf7#", "\u2658f3", "Sf6", "Дd1", "--"]) {
    assert.equal(await scopeOf(`12... ${move} 13. Kf1`, move), "entity.name.function.move.pgn", move);
  }
  for (const word of ["chess", "E4", "e9", "Nf33"]) {
    assert.notEqual(await scopeOf(`1. ${word} *`, word), "entity.name.function.move.pgn", word);
  }
});

test("results are told from move numbers and castling", async () => {
  for (const result of ["1-0", "0-1", "1/2-1/2", "*"]) {
    assert.equal(await scopeOf(`9. Kf1 ${result}`, result), "constant.language.result.pgn", result);
  }
});

test("side-lines nest, over line ends, and their moves differ from the main line's", async () => {
  const text = "1. e4 (1. d4 d5\n(1... Nf6 {why}) 2. c4) e5 *";
  assert.equal(await scopeOf(text, "e4"), "entity.name.function.move.pgn");
  for (const move of ["d4", "d5", "Nf6", "c4"]) {
    assert.equal(await scopeOf(text, move), "variable.other.move.pgn", move);
  }
  assert.equal(await scopeOf(text, "e5"), "entity.name.function.move.pgn");
});

test("comments hide moves, in braces over lines and behind a semicolon", async () => {
  const text = "1. e4 {here Nf3\nand (Qh5) too} e5 ; then 2. Bc4\n2. Nc3 *";
  const moves = (await tokens("source.pgn", text)).filter(([, scope]) => scope.endsWith("move.pgn")).map(([word]) => word);
  assert.deepEqual(moves, ["e4", "e5", "Nc3"]);
  assert.equal(await scopeOf(text, "and (Qh5) too"), "comment.block.pgn");
});

test("commands inside comments, and lines that start with a percent sign", async () => {
  assert.equal(await scopeOf("1. e4 {[%mark c4] calm} *", "mark"), "keyword.other.command.pgn");
  assert.equal(await scopeOf("%a private line 1. e4", "%a private line 1. e4"), "comment.line.percentage.pgn");
  assert.notEqual(await scopeOf("1. e4 %x", "%x"), "comment.line.percentage.pgn");
});

test("a bracket that closes nothing is marked", async () => {
  for (const stray of [")", "}", "]"]) {
    assert.equal(await scopeOf(`1. e4 ${stray} e5`, stray), "invalid.illegal.stray.pgn", stray);
  }
});

test("a line of EPD", async () => {
  assert.deepEqual(await tokens("source.epd", '4k3/8/8/8/8/8/8/4K2R w K - bm Rh8+; id "one; two"; dm 3;'), [
    ["4k3/8/8/8/8/8/8/4K2R", "constant.other.placement.epd"],
    ["w", "keyword.other.side.epd"],
    ["K", "constant.language.castling.epd"],
    ["-", "constant.language.en-passant.epd"],
    ["bm", "entity.name.tag.opcode.epd"],
    ["Rh8+", "entity.name.function.move.epd"],
    [";", "punctuation.terminator.operation.epd"],
    ["id", "entity.name.tag.opcode.epd"],
    ['"', "punctuation.definition.string.begin.epd"],
    ["one; two", "string.quoted.double.epd"],
    ['"', "punctuation.definition.string.end.epd"],
    [";", "punctuation.terminator.operation.epd"],
    ["dm", "entity.name.tag.opcode.epd"],
    ["3", "constant.numeric.operand.epd"],
    [";", "punctuation.terminator.operation.epd"],
  ]);
});

test("the counters of a whole FEN are numbers, and the next line starts afresh", async () => {
  const text = "4k3/8/8/8/8/8/8/4K2R w K - 0 1\n4k3/8/8/8/8/8/8/4K2R b - - am Kd7;";
  const found = await tokens("source.epd", text);
  assert.deepEqual(found.filter(([, scope]) => scope === "constant.numeric.counter.epd").map(([word]) => word), ["0", "1"]);
  assert.equal(found.filter(([, scope]) => scope === "constant.other.placement.epd").length, 2);
});

test("blocks of chess in Markdown are games and positions, other blocks and prose are not", async () => {
  const text = "1. e4 is best.\n\n```pgn\n[Event \"A\"]\n1. e4 {good} *\n```\n1. e5\n\n~~~ FEN\n8/8/8/8/8/8/8/K1k5 w - - 0 1\n~~~\n\n```js\nNf3\n```\n";
  const found = await tokens("text.html.markdown", text);
  const scopes = (words: string) => found.filter(([word]) => word === words).map(([, scope]) => scope);
  assert.deepEqual(scopes("e4"), ["entity.name.function.move.pgn"]);
  assert.deepEqual(scopes("Event"), ["entity.name.tag.pgn"]);
  assert.deepEqual(scopes("good"), ["comment.block.pgn"]);
  assert.deepEqual(scopes("8/8/8/8/8/8/8/K1k5"), ["constant.other.placement.epd"]);
  for (const prose of ["1. e4 is best.", "1. e5", "Nf3"]) {
    assert.deepEqual(scopes(prose), ["text.html.markdown"], prose);
  }
});
