import { randomBytes } from "node:crypto";
import * as vscode from "vscode";
import type { FromPanel, ToPanel } from "./protocol";

/** The kind of webview, also the name under which Visual Studio Code restores it. */
export const PANEL_KIND = "gainsay.board";

/** The board beside the text. It only shows what it is sent and tells what was pressed. */
export class BoardPanel implements vscode.Disposable {
  private last: ToPanel | undefined;
  private readonly parts: vscode.Disposable[] = [];

  /** Opens a panel beside the active editor and leaves the focus where it is. */
  static open(folder: vscode.Uri, hear: (message: FromPanel) => void, closed: () => void): BoardPanel {
    const view = vscode.window.createWebviewPanel(
      PANEL_KIND,
      "Board",
      { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true },
      {},
    );
    return new BoardPanel(view, folder, hear, closed);
  }

  /** Takes over a view that exists already, as after a restart of the editor. */
  constructor(
    private readonly view: vscode.WebviewPanel,
    folder: vscode.Uri,
    hear: (message: FromPanel) => void,
    closed: () => void,
  ) {
    view.webview.options = {
      enableScripts: true,
      enableForms: false,
      localResourceRoots: [vscode.Uri.joinPath(folder, "dist"), vscode.Uri.joinPath(folder, "media")],
    };
    view.iconPath = vscode.Uri.joinPath(folder, "media", "icon.png");
    this.parts.push(
      view.webview.onDidReceiveMessage((message: FromPanel) => {
        // The script starts anew each time the panel comes back into sight.
        if (message.kind === "ready" && this.last !== undefined) {
          void view.webview.postMessage(this.last);
        }
        hear(message);
      }),
      view.onDidDispose(() => {
        this.parts.forEach((part) => part.dispose());
        closed();
      }),
    );
    view.webview.html = page(view.webview, folder);
  }

  get visible(): boolean {
    return this.view.visible;
  }

  send(message: ToPanel): void {
    this.last = message;
    void this.view.webview.postMessage(message);
  }

  reveal(): void {
    this.view.reveal(undefined, true);
  }

  dispose(): void {
    this.view.dispose();
  }
}

/** The page: one script, one style sheet, and no address outside the extension. */
function page(webview: vscode.Webview, folder: vscode.Uri): string {
  const nonce = randomBytes(18).toString("base64url");
  const address = (...path: string[]): string => webview.asWebviewUri(vscode.Uri.joinPath(folder, ...path)).toString();
  const policy = `default-src 'none'; style-src ${webview.cspSource}; script-src 'nonce-${nonce}'; base-uri 'none'; form-action 'none'`;
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width">
<link rel="stylesheet" href="${address("media", "board.css")}">
<title>Board</title>
</head>
<body>
<main>
<h1 id="heading">Board</h1>
<p id="state" role="status"></p>
<div id="board"></div>
<div id="tools" role="toolbar" aria-label="Board">
<button id="previous" type="button" aria-keyshortcuts="P">Previous move</button>
<button id="next" type="button" aria-keyshortcuts="N">Next move</button>
<button id="flip" type="button" aria-keyshortcuts="F">Flip</button>
<button id="copy" type="button">Copy FEN</button>
</div>
<blockquote id="comment" hidden></blockquote>
<section id="words" aria-label="The position in words" hidden>
<p><b>White</b> <span id="white"></span></p>
<p><b>Black</b> <span id="black"></span></p>
<p><code id="fen"></code></p>
</section>
</main>
<script nonce="${nonce}" src="${address("dist", "board.js")}"></script>
</body>
</html>`;
}
