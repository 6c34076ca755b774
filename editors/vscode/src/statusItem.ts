import * as vscode from "vscode";
import type { Server } from "./server";
import { statusDetail, statusText, type Counts } from "./status";

/** Claims are counted at most this often, in milliseconds. */
const PAUSE = 150;

/** The item in the status bar: how many findings and claims the active file has. */
export class Status implements vscode.Disposable {
  private readonly item = vscode.window.createStatusBarItem("gainsay.counts", vscode.StatusBarAlignment.Left, 20);
  private readonly parts: vscode.Disposable[] = [this.item];
  private trouble: string | undefined = "The server is starting.";

  /** The claims of the document that was counted last. */
  private claims: { readonly uri: string; readonly counts: Counts["claims"] } | undefined;
  private timer: NodeJS.Timeout | undefined;

  constructor(
    private readonly languages: readonly string[],
    private readonly server: Server,
  ) {
    this.item.name = "gainsay";
    this.parts.push(
      server.onDidSettle(() => this.countClaims()),
      vscode.window.onDidChangeActiveTextEditor(() => {
        this.refresh();
        this.countClaims();
      }),
      vscode.languages.onDidChangeDiagnostics((change) => {
        const shown = vscode.window.activeTextEditor?.document.uri.toString();
        if (change.uris.some((uri) => uri.toString() === shown)) {
          this.refresh();
          this.countClaims();
        }
      }),
    );
    this.refresh();
  }

  runs(): void {
    this.trouble = undefined;
    this.refresh();
    this.countClaims();
  }

  cannotRun(why: string): void {
    this.trouble = why;
    this.refresh();
  }

  dispose(): void {
    clearTimeout(this.timer);
    this.parts.forEach((part) => part.dispose());
  }

  private refresh(): void {
    const document = vscode.window.activeTextEditor?.document;
    if (document === undefined || !this.languages.includes(document.languageId)) {
      // A panel has the focus: what was said of the file last stays true.
      if (vscode.window.activeTextEditor !== undefined || vscode.window.visibleTextEditors.length === 0) {
        this.item.hide();
      }
      return;
    }
    if (this.trouble !== undefined) {
      this.item.text = "$(circle-slash) gainsay";
      this.item.tooltip = this.trouble;
      this.item.command = "gainsay.showLog";
    } else {
      const counts = this.count(document.uri);
      this.item.text = statusText(counts);
      this.item.tooltip = statusDetail(counts);
      this.item.accessibilityInformation = { label: `gainsay. ${statusDetail(counts)}`, role: "button" };
      this.item.command = "workbench.actions.view.problems";
    }
    this.item.show();
  }

  private countClaims(): void {
    this.timer ??= setTimeout(() => {
      this.timer = undefined;
      void this.askClaims();
    }, PAUSE);
  }

  private async askClaims(): Promise<void> {
    const document = vscode.window.activeTextEditor?.document;
    if (document === undefined || !this.languages.includes(document.languageId)) {
      return;
    }
    // A count that does not come is not shown; the next change asks again.
    const answer = await this.server.counts(document.uri).catch(() => undefined);
    this.claims = { uri: document.uri.toString(), counts: answer?.claims };
    this.refresh();
  }

  private count(uri: vscode.Uri): Counts {
    let errors = 0;
    let warnings = 0;
    let notes = 0;
    for (const diagnostic of vscode.languages.getDiagnostics(uri)) {
      if (diagnostic.source !== "gainsay") {
        continue;
      }
      if (diagnostic.severity === vscode.DiagnosticSeverity.Error) {
        errors += 1;
      } else if (diagnostic.severity === vscode.DiagnosticSeverity.Warning) {
        warnings += 1;
      } else {
        notes += 1;
      }
    }
    const claims = this.claims?.uri === uri.toString() ? this.claims.counts : undefined;
    return { errors, warnings, notes, claims };
  }
}
