import assert from "node:assert/strict";
import { test } from "node:test";
import { gameStart, step } from "../../src/moves";

/** The word that a step from the mark `^` in the text leads to. */
function from(marked: string, direction: 1 | -1): string | undefined {
  const offset = marked.indexOf("^");
  assert.ok(offset >= 0);
  const text = marked.replace("^", "");
  const move = step(text, offset, direction);
  return move === undefined ? undefined : text.slice(move.start, move.end);
}

test("steps along the main line over comments, glyphs and side-lines", () => {
  assert.equal(from("1. ^e4 {not e5} $1 (1. d4 d5) e5 2. Nf3 *", 1), "e5");
  assert.equal(from("1. e4 (1. d4 d5 (1... Nf6)) ^e5 2. Nf3 *", -1), "e4");
  assert.equal(from("1. e4 e5 ; Qh5\n2. ^Nf3 *", -1), "e5");
  assert.equal(from("1. e4 e5^ 2. Nf3 *", 1), "Nf3");
});

test("stands still at either end", () => {
  assert.equal(from("1. ^e4 e5 *", -1), undefined);
  assert.equal(from("1. e4 ^e5 1/2-1/2", 1), undefined);
  assert.equal(from("1. e4^ e5 *", -1), undefined);
});

test("keeps to the side-line the cursor is in, and goes back to the move it replaces", () => {
  assert.equal(from("1. e4 e5 (1... ^c5 2. Nf3) 2. Bc4 *", 1), "Nf3");
  assert.equal(from("1. e4 e5 (1... c5 2. ^Nf3) 2. Bc4 *", 1), undefined);
  assert.equal(from("1. e4 e5 (1... ^c5 2. Nf3) 2. Bc4 *", -1), "e5");
  assert.equal(from("1. e4 e5 (1... c5 (1... d5 2. ^exd5) 2. Nf3) 2. Bc4 *", -1), "d5");
});

test("from a comment, goes on in the line around it", () => {
  assert.equal(from("1. e4 {a ^comment} e5 *", 1), "e5");
  assert.equal(from("1. e4 {a ^comment} e5 *", -1), "e4");
});

test("does not leave the game", () => {
  const tags = '[Event "A"]\n[White "Ada (B)"]\n\n';
  assert.equal(from(`${tags}1. e4 ^e5 *\n\n${tags}1. d4 *`, 1), undefined);
  assert.equal(from(`${tags}1. e4 e5 *\n\n${tags}1. ^d4 d5 *`, -1), undefined);
  assert.equal(from(`${tags}^1. d4 d5 *`, 1), "d4");
  assert.equal(from(`${tags}1. e4 (1. d4 *\n\n${tags}1. ^c4 c5 *`, 1), "c5");
});

test("knows castling with letters and with noughts, figurines and other languages", () => {
  assert.equal(from("1. ^e4 0-0 *", 1), "0-0");
  assert.equal(from("1. ^e4 O-O-O+ *", 1), "O-O-O+");
  assert.equal(from("1. ^e4 \u265ef6 *", 1), "\u265ef6");
  assert.equal(from("1. ^e4 Sf6 2.Lc4 *", 1), "Sf6");
  assert.equal(from("1. ^e4 Кf6 *", 1), "Кf6");
});

test("finds the start of the game around an offset", () => {
  const text = '[Event "A"]\n\n1. e4 {[Event } *\n\n[Event "B"]\n\n1. d4 *';
  assert.equal(gameStart(text, text.indexOf("d4")), text.indexOf('[Event "B"]'));
  assert.equal(gameStart(text, text.indexOf("e4")), 0);
  assert.equal(gameStart(text, text.indexOf("*")), 0);
});

test("reads a long and broken text in linear time", () => {
  const text = "1. e4 (".repeat(100_000);
  const begun = process.cpuUsage();
  step(text, text.length - 3, -1);
  const spent = process.cpuUsage(begun).user / 1000;
  assert.ok(spent < 2000, `${spent} ms of CPU for ${text.length} characters`);
});
