"use strict";
(() => {
  const svgSpace = "http://www.w3.org/2000/svg";
  const names = { k: "king", q: "queen", r: "rook", b: "bishop", n: "knight", p: "pawn" };
  const all = (selector, within = document) => [...within.querySelectorAll(selector)];
  document.documentElement.classList.add("js");

  // The pieces of a step: letter, column from the left and row from the top.
  function pieces(placement) {
    const found = [];
    placement.split("/").forEach((rank, row) => {
      let column = 0;
      for (const sign of rank) {
        if (sign >= "1" && sign <= "8") column += Number(sign);
        else found.push([sign, column++, row]);
      }
    });
    return found;
  }

  const square = (column, row) => "abcdefgh"[column] + (8 - row);

  function words(placement, state) {
    const side = (white) =>
      [..."kqrbnp"]
        .map((role) => {
          const at = pieces(placement)
            .filter(([sign]) => sign === (white ? role.toUpperCase() : role))
            .map(([, column, row]) => square(column, row))
            .sort((one, other) => one[1].localeCompare(other[1]) || one[0].localeCompare(other[0]));
          return at.length ? `${names[role]}${at.length > 1 ? "s" : ""} ${at.join(" ")}` : "";
        })
        .filter(Boolean)
        .join(", ") || "nothing";
    return `White: ${side(true)}. Black: ${side(false)}. ${state[0].toUpperCase() + state.slice(1)}.`;
  }

  function use(id, x, y) {
    const node = document.createElementNS(svgSpace, "use");
    node.setAttribute("href", `#${id}`);
    node.setAttribute("x", x);
    node.setAttribute("y", y);
    return node;
  }

  // What each board shows first, and which step it is at now.
  const boards = new WeakMap();
  function boardOf(item) {
    const svg = item.querySelector(".board svg");
    if (!svg) return null;
    if (!boards.has(svg)) {
      boards.set(svg, {
        svg,
        caption: svg.parentNode.querySelector("figcaption"),
        first: [...svg.childNodes],
        label: svg.getAttribute("aria-label"),
        told: svg.parentNode.querySelector("figcaption").textContent,
        current: null,
      });
    }
    return boards.get(svg);
  }

  function show(item, button) {
    const board = boardOf(item);
    if (!board) return;
    board.current?.removeAttribute("aria-current");
    board.current = button;
    if (!button) {
      board.svg.replaceChildren(...board.first);
      board.svg.setAttribute("aria-label", board.label);
      board.caption.textContent = board.told;
      return;
    }
    button.setAttribute("aria-current", "true");
    const [placement, sign] = button.dataset.p.split(" ");
    const turn = sign === "w" ? "White" : "Black";
    const at = (name) => [100 * (name.charCodeAt(0) - 97), 100 * (8 - Number(name[1]))];
    const moved = [button.dataset.m.slice(0, 2), button.dataset.m.slice(2)];
    board.svg.replaceChildren(
      board.first[0],
      ...moved.map((name) => use("mm", ...at(name))),
      ...pieces(placement).map(([piece, column, row]) => use(piece, 100 * column, 100 * row)),
      use(sign === "w" ? "tw" : "tb", 0, sign === "w" ? 786 : 14),
    );
    const told = `After ${button.textContent.trim()}`;
    const state = button.dataset.e ?? `${turn} to move`;
    board.svg.setAttribute("aria-label", `${told}. ${words(placement, state)}`);
    board.caption.textContent = `${told}: ${state}`;
  }

  const lines = (item) => all(".line", item).map((line) => all("button", line)).filter((line) => line.length);

  // By one move within the line, or by one line.
  function step(item, key) {
    const board = boardOf(item);
    const sets = lines(item);
    if (!board || !sets.length) return false;
    const line = Math.max(0, sets.findIndex((set) => set.includes(board.current)));
    const at = sets[line].indexOf(board.current);
    const to = {
      ArrowRight: () => sets[line][Math.min(at + 1, sets[line].length - 1)],
      ArrowLeft: () => (at > 0 ? sets[line][at - 1] : null),
      Home: () => null,
      End: () => sets[line].at(-1),
      ArrowDown: () => sets[Math.min(line + 1, sets.length - 1)][0],
      ArrowUp: () => sets[Math.max(line - 1, 0)][0],
    }[key];
    if (!to) return false;
    show(item, to());
    return true;
  }

  // Boards that can be stepped are reached with the keyboard, and have buttons.
  const itemOf = (node) => node.closest?.(".item");
  function prepare(item) {
    const figure = item.querySelector(".board");
    if (!figure || figure.tabIndex === 0 || !lines(item).length) return;
    figure.tabIndex = 0;
    figure.setAttribute("aria-label", "Board. The arrow keys step through the moves that show the verdict.");
    figure.querySelector("figcaption").setAttribute("aria-live", "polite");
    const row = document.createElement("div");
    row.className = "steps";
    for (const [key, text, label] of [["Home", "Start", "Start position"], ["ArrowLeft", "◀", "Previous move"], ["ArrowRight", "▶", "Next move"]]) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = text;
      button.dataset.key = key;
      button.setAttribute("aria-label", label);
      row.append(button);
    }
    figure.append(row);
  }
  all(".item").forEach(prepare);

  document.addEventListener("click", (event) => {
    const button = event.target.closest?.("button");
    const item = button && itemOf(button);
    if (!item) return;
    if (button.dataset.p) show(item, boardOf(item)?.current === button ? null : button);
    else if (button.dataset.key) step(item, button.dataset.key);
  });

  const shown = (item) => !item.hidden && item.getClientRects().length > 0;
  function go(way) {
    const bad = all(".item.bad").filter(shown);
    const here = itemOf(document.activeElement) ?? null;
    const behind = (item) => !here || here.compareDocumentPosition(item) & Node.DOCUMENT_POSITION_FOLLOWING;
    const others = bad.filter((item) => item !== here);
    const next = way > 0 ? others.find(behind) : here && others.filter((item) => !behind(item)).at(-1);
    if (!next) return;
    next.focus();
    next.scrollIntoView({ block: "nearest" });
  }

  document.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const typed = event.target.matches?.("input:not([type=checkbox]), select, textarea");
    if (typed) return;
    if (event.key === "n" || event.key === "p") {
      go(event.key === "n" ? 1 : -1);
      event.preventDefault();
      return;
    }
    const item = event.target.closest?.(".board, .line, .item") && itemOf(event.target);
    const onBoard = event.target.closest?.(".board, .line") || event.target === item;
    if (item && onBoard && step(item, event.key)) event.preventDefault();
  });

  const form = document.querySelector(".filters");
  function filter() {
    const wanted = (name) => new Set(all(`input[name=${name}]:checked`, form).map((box) => box.value));
    const [states, kinds] = [wanted("state"), wanted("kind")];
    let left = 0;
    const items = all(".item");
    for (const item of items) {
      item.hidden = !states.has(item.dataset.state) || !kinds.has(item.dataset.kind);
      left += !item.hidden;
    }
    for (const game of all(".game")) game.hidden = !all(":scope > .item", game).some((item) => !item.hidden);
    for (const part of all(".unread")) part.hidden = !states.has("unread");
    document.getElementById("count").textContent = left === items.length ? "" : `${left} of ${items.length} are shown.`;
  }
  form.addEventListener("change", filter);
  form.addEventListener("submit", (event) => event.preventDefault());
  for (const button of all("[data-all]", form)) {
    button.addEventListener("click", () => {
      for (const box of all("input[name=kind]", form)) box.checked = button.dataset.all === "1";
      filter();
    });
  }

  // Browsers that print closed parts as closed are given them open.
  let opened = [];
  addEventListener("beforeprint", () => {
    opened = all("details:not([open])");
    for (const part of opened) part.open = true;
  });
  addEventListener("afterprint", () => {
    for (const part of opened) part.open = false;
  });
})();
