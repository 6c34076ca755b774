import assert from "node:assert/strict";
import { test } from "node:test";
import set from "../../media/pieces.json";
import { COLOURS, drawBoard, EXTENT, squareAt } from "../../src/board/drawing";
import { readFen, squareName, squareOf, type Position } from "../../src/board/position";
import { shape, toMarkup, type Shape } from "../../src/board/shape";
import { heading, pieceList, squareLabel, state } from "../../src/board/words";

const START = "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1";

function position(fen: string): Position {
  const found = readFen(fen);
  assert.ok(found, `${fen} must be readable`);
  return found;
}

function all(of: Shape, want: (shape: Shape) => boolean): Shape[] {
  const inner = of.children.flatMap((child) => (typeof child === "string" ? [] : all(child, want)));
  return want(of) ? [of, ...inner] : inner;
}

test("reads where the pieces of a FEN stand and who moves", () => {
  const start = position(START);
  assert.deepEqual(start.squares[squareOf("e1") ?? -1], { side: "white", role: "king" });
  assert.deepEqual(start.squares[squareOf("d8") ?? -1], { side: "black", role: "queen" });
  assert.equal(start.squares[squareOf("e4") ?? -1], null);
  assert.equal(start.squares.filter((piece) => piece !== null).length, 32);
  assert.equal(start.mover, "white");
  assert.equal(position("8/8/8/8/8/8/8/k6K b - - 0 1").mover, "black");
});

test("refuses what is no board", () => {
  for (const fen of ["", "8/8/8/8/8/8/8", "9/8/8/8/8/8/8/8", "7/8/8/8/8/8/8/8", "ppppppppp/8/8/8/8/8/8/8", "x7/8/8/8/8/8/8/8", "8/8/8/8/8/8/8/8/8"]) {
    assert.equal(readFen(fen), undefined, fen);
  }
});

test("names all squares, both ways", () => {
  const names = Array.from({ length: 64 }, (_, square) => squareName(square));
  assert.equal(new Set(names).size, 64);
  names.forEach((name, square) => assert.equal(squareOf(name), square));
  assert.equal(names[0], "a1");
  assert.equal(names[63], "h8");
  for (const wrong of [undefined, "", "i1", "a9", "e44"]) {
    assert.equal(squareOf(wrong), undefined);
  }
});

test("a1 is dark and h1 is light, from either side", () => {
  for (const bottom of ["white", "black"] as const) {
    const drawn = drawBoard(position(START), { bottom, label: "x" }, "grid");
    const colour = (name: string): string | undefined => {
      const [cell] = all(drawn, (part) => part.attributes["data-square"] === name);
      const first = cell?.children[0];
      return typeof first === "object" ? first.attributes["fill"] : undefined;
    };
    assert.equal(colour("a1"), COLOURS.dark);
    assert.equal(colour("h1"), COLOURS.light);
    assert.equal(colour("d8"), COLOURS.dark);
    assert.equal(colour("e4"), COLOURS.light);
  }
});

test("the lower left corner is a1 for White and h8 for Black", () => {
  assert.equal(squareName(squareAt(7, 0, "white")), "a1");
  assert.equal(squareName(squareAt(0, 7, "white")), "h8");
  assert.equal(squareName(squareAt(7, 0, "black")), "h8");
  assert.equal(squareName(squareAt(0, 7, "black")), "a1");
});

test("draws every piece where it stands, with a spoken label", () => {
  const drawn = drawBoard(position("8/8/8/3q4/8/8/8/K6k w - - 0 1"), { bottom: "white", label: "x" }, "grid");
  const cells = all(drawn, (part) => part.attributes["role"] === "gridcell");
  assert.equal(cells.length, 64);
  const labels = cells.map((cell) => cell.attributes["aria-label"]);
  assert.deepEqual(labels.filter((label) => !label?.endsWith("empty")), ["d5, black queen", "a1, white king", "h1, black king"]);
  const [queen] = all(drawn, (part) => part.attributes["data-square"] === "d5");
  assert.ok(queen && all(queen, (part) => part.attributes["d"] === set.pieces.queen.body).length === 1);
  assert.equal(all(drawn, (part) => part.attributes["class"] === "black").length, 2);
  assert.equal(all(drawn, (part) => part.attributes["class"] === "white").length, 1);
});

test("marks the last move and a check by shapes, not by colour alone", () => {
  const drawn = drawBoard(
    position("4k3/8/8/8/8/8/8/K3R3 b - - 0 1"),
    { bottom: "white", lastMove: [squareOf("e7") ?? 0, squareOf("e1") ?? 0], check: squareOf("e8"), label: "x" },
    "grid",
  );
  const holding = (kind: string): (string | undefined)[] =>
    all(drawn, (part) => part.children.some((child) => typeof child === "object" && child.attributes["class"] === kind)).map(
      (part) => part.attributes["data-square"],
    );
  assert.deepEqual(holding("corners"), ["e7", "e1"]);
  assert.deepEqual(holding("check"), ["e8"]);
  const [king] = all(drawn, (part) => part.attributes["data-square"] === "e8");
  assert.equal(king?.attributes["aria-label"], "e8, black king, in check");
});

test("a lone picture is one image with a text, and no grid", () => {
  const markup = toMarkup(drawBoard(position(START), { bottom: "white", label: 'a "b" <c> & d' }, "image"));
  assert.ok(markup.startsWith(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${EXTENT} ${EXTENT}" role="img" aria-label="a &quot;b&quot; &lt;c&gt; &amp; d">`));
  assert.ok(!markup.includes("gridcell"));
  assert.ok(!/(href|url\(|style=|<script)/.test(markup), "the picture must need nothing from outside");
  assert.equal(markup.split("<g").length - 1, markup.split("</g>").length - 1);
});

test("markup escapes text and rounds numbers", () => {
  assert.equal(toMarkup(shape("text", { x: 1 / 3, y: undefined }, ["<&>"])), '<text x="0.33">&lt;&amp;&gt;</text>');
});

test("every piece stays inside its square, and no two are drawn alike", () => {
  const bodies = Object.values(set.pieces).map((piece) => piece.body);
  assert.equal(new Set(bodies).size, 6);
  for (const [name, piece] of Object.entries(set.pieces)) {
    const body = piece.body;
    assert.match(body, /^M[MLHVCQAZ0-9 .]+Z$/, `${name} is closed and drawn with absolute commands`);
    for (const number of body.match(/\d+(\.\d+)?/g) ?? []) {
      assert.ok(Number(number) <= set.size, `${name}: ${number}`);
    }
  }
});

test("says a position in words", () => {
  const mate = position("R5k1/5ppp/8/8/8/8/8/R5K1 b - - 0 1");
  assert.equal(pieceList(mate, "white"), "king g1, rooks a1 a8");
  assert.equal(pieceList(mate, "black"), "king g8, pawns f7 g7 h7");
  const centre = position("8/8/8/8/4P3/8/PPPP1PPP/K6k w - - 0 1");
  assert.equal(pieceList(centre, "white"), "king a1, pawns a2 b2 c2 d2 e4 f2 g2 h2");
  assert.equal(state(mate, true), "Black to move, in check");
  assert.equal(state(position(START), false), "White to move");
  assert.equal(heading("12...Nxe4"), "After 12...Nxe4");
  assert.equal(heading(undefined), "The position given");
  assert.equal(squareLabel(0, null, { moved: true, checked: false }), "a1, empty, last move");
});
