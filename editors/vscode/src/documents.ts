import * as vscode from "vscode";
import { isChess, languages, manuscripts, type Manuscripts } from "./manuscripts";

/** Under this name menus know whether the active editor shows the author's chess. */
const CONTEXT = "gainsay.chess";

/** Says which documents are the author's chess, by the setting `gainsay.manuscripts`. */
export class Documents implements vscode.Disposable {
  private readonly parts: vscode.Disposable[] = [];
  private readonly appeared = new vscode.EventEmitter<void>();

  /** Fires when a document of chess is opened, or has become one. */
  readonly onDidAppear = this.appeared.event;

  constructor() {
    this.parts.push(
      this.appeared,
      vscode.workspace.onDidOpenTextDocument((document) => this.look(document)),
      vscode.workspace.onDidChangeTextDocument((change) => {
        // A game file has been one since it was opened.
        if (change.document.languageId === "markdown" && change.contentChanges.length > 0) {
          this.look(change.document);
        }
      }),
      vscode.window.onDidChangeActiveTextEditor((editor) => this.tell(editor?.document)),
      vscode.workspace.onDidChangeConfiguration((change) => {
        if (change.affectsConfiguration("gainsay.manuscripts")) {
          this.tell(vscode.window.activeTextEditor?.document);
        }
      }),
    );
    this.tell(vscode.window.activeTextEditor?.document);
  }

  /** The languages of the documents that the server is told of. */
  get languages(): readonly string[] {
    return languages(this.chosen);
  }

  /** Whether a document is a game file or a manuscript that holds chess. */
  includes(document: vscode.TextDocument): boolean {
    return isChess(document.languageId, this.chosen, () => document.getText());
  }

  /** Whether any document of chess is open. */
  get any(): boolean {
    return vscode.workspace.textDocuments.some((document) => this.includes(document));
  }

  dispose(): void {
    this.parts.forEach((part) => part.dispose());
  }

  private get chosen(): Manuscripts {
    return manuscripts(vscode.workspace.getConfiguration("gainsay").get("manuscripts"));
  }

  private look(document: vscode.TextDocument): void {
    if (this.includes(document)) {
      this.appeared.fire();
    }
    if (document === vscode.window.activeTextEditor?.document) {
      this.tell(document);
    }
  }

  private tell(document: vscode.TextDocument | undefined): void {
    // A panel with the focus leaves the answer as it was, so that its buttons stay.
    if (document !== undefined) {
      void vscode.commands.executeCommand("setContext", CONTEXT, this.includes(document));
    }
  }
}
