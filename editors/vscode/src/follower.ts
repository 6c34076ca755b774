import * as vscode from "vscode";
import type { Side } from "./board/position";
import { readFen } from "./board/position";
import type { Documents } from "./documents";
import type { BoardPanel } from "./panel";
import type { PositionAnswer } from "./protocol";
import type { Server } from "./server";

/** While the cursor runs, the board waits until it has rested this long, in milliseconds. */
const REST = 30;

/** Lets the board follow the cursor of the game file that was edited last. */
export class Follower implements vscode.Disposable {
  private last: vscode.TextEditor | undefined;
  private panel: BoardPanel | undefined;
  private timer: NodeJS.Timeout | undefined;
  private asking: vscode.CancellationTokenSource | undefined;
  private flipped = false;
  private readonly parts: vscode.Disposable[] = [];

  constructor(
    private readonly documents: Documents,
    private readonly server: Server,
  ) {
    this.take(vscode.window.activeTextEditor);
    this.parts.push(
      vscode.window.onDidChangeActiveTextEditor(() => this.refresh()),
      vscode.window.onDidChangeTextEditorSelection((change) => {
        if (change.textEditor === this.last || change.textEditor === vscode.window.activeTextEditor) {
          this.refresh();
        }
      }),
      vscode.workspace.onDidChangeTextDocument((change) => {
        if (change.document === this.last?.document || change.document === vscode.window.activeTextEditor?.document) {
          this.refresh();
        }
      }),
      vscode.workspace.onDidOpenTextDocument(() => this.take(vscode.window.activeTextEditor)),
      vscode.window.onDidChangeVisibleTextEditors((editors) => {
        // An editor that was hidden and shown again is a new object for the same document.
        const document = this.last?.document;
        this.last = editors.find((editor) => editor === this.last) ?? editors.find((editor) => editor.document === document);
        this.refresh();
      }),
    );
  }

  /** The editor that is followed, as long as it can be seen. */
  get editor(): vscode.TextEditor | undefined {
    return this.last;
  }

  /** Sends positions to this panel from now on. */
  lead(panel: BoardPanel | undefined): void {
    this.panel = panel;
    this.refresh();
  }

  flip(): void {
    this.flipped = !this.flipped;
    this.refresh();
  }

  /** The side at the bottom when `mover` is to move. */
  bottom(mover: Side): Side {
    const chosen = vscode.workspace.getConfiguration("gainsay").get<string>("board.side", "white");
    const side: Side = chosen === "mover" ? mover : chosen === "black" ? "black" : "white";
    return this.flipped ? (side === "white" ? "black" : "white") : side;
  }

  /** Shows the position at the cursor as soon as the cursor rests. */
  refresh(): void {
    clearTimeout(this.timer);
    this.take(vscode.window.activeTextEditor);
    if (this.panel !== undefined) {
      this.timer = setTimeout(() => void this.show(), REST);
    }
  }

  /** The position at the cursor now. */
  async ask(): Promise<PositionAnswer | undefined> {
    const source = new vscode.CancellationTokenSource();
    try {
      return await this.request(source.token);
    } finally {
      source.dispose();
    }
  }

  dispose(): void {
    clearTimeout(this.timer);
    this.asking?.cancel();
    this.parts.forEach((part) => part.dispose());
  }

  private take(editor: vscode.TextEditor | undefined): void {
    if (editor !== undefined && this.documents.includes(editor.document)) {
      this.last = editor;
    }
  }

  private async request(token: vscode.CancellationToken): Promise<PositionAnswer | undefined> {
    const editor = this.last;
    return editor === undefined
      ? undefined
      : this.server.position(editor.document, editor.selection.active, token);
  }

  private async show(): Promise<void> {
    // A newer question makes an older one stale; its answer is never shown.
    this.asking?.cancel();
    const source = new vscode.CancellationTokenSource();
    this.asking = source;
    let answer: PositionAnswer | undefined;
    let why = this.last === undefined ? "Open a game file to see its positions here." : "The cursor is in no game.";
    try {
      answer = await this.request(source.token);
    } catch (error) {
      why = `The server could not tell the position: ${error instanceof Error ? error.message : String(error)}`;
    } finally {
      source.dispose();
    }
    if (this.asking !== source || this.panel === undefined) {
      return;
    }
    this.asking = undefined;
    if (answer === undefined) {
      const waits = this.last === undefined || this.server.running;
      this.panel.send({ kind: "nothing", why: waits ? why : "The server does not run." });
      return;
    }
    this.panel.send({
      kind: "position",
      answer,
      bottom: this.bottom(readFen(answer.fen)?.mover ?? "white"),
      document: this.last?.document.uri.toString() ?? "",
    });
  }
}
