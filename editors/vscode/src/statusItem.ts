import * as vscode from "vscode";
import type { Documents } from "./documents";
import type { CountsAnswer } from "./protocol";
import type { Server } from "./server";
import { statusDetail, statusText, type Counts } from "./status";

/** The server is asked at most this often, in milliseconds. */
const PAUSE = 150;

/** The item in the status bar: how many findings and claims the active file has. */
export class Status implements vscode.Disposable {
  private readonly item = vscode.window.createStatusBarItem("gainsay.counts", vscode.StatusBarAlignment.Left, 20);
  private readonly parts: vscode.Disposable[] = [this.item];
  private trouble: string | undefined = "The server is starting.";

  /** What the server counted in the document that it was asked about last. */
  private told: { readonly uri: string; readonly answer: CountsAnswer } | undefined;
  private timer: NodeJS.Timeout | undefined;

  constructor(
    private readonly documents: Documents,
    private readonly server: Server,
  ) {
    this.item.name = "gainsay";
    this.parts.push(
      server.onDidSettle(() => this.askSoon()),
      vscode.window.onDidChangeActiveTextEditor(() => {
        this.refresh();
        this.askSoon();
      }),
      vscode.languages.onDidChangeDiagnostics((change) => {
        const shown = vscode.window.activeTextEditor?.document.uri.toString();
        if (change.uris.some((uri) => uri.toString() === shown)) {
          this.refresh();
          this.askSoon();
        }
      }),
    );
    this.refresh();
  }

  runs(): void {
    this.trouble = undefined;
    this.refresh();
    this.askSoon();
  }

  cannotRun(why: string): void {
    this.trouble = why;
    this.told = undefined;
    this.refresh();
  }

  dispose(): void {
    clearTimeout(this.timer);
    this.parts.forEach((part) => part.dispose());
  }

  private refresh(): void {
    const document = vscode.window.activeTextEditor?.document;
    if (document === undefined || !this.documents.includes(document)) {
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

  private askSoon(): void {
    this.timer ??= setTimeout(() => {
      this.timer = undefined;
      void this.ask();
    }, PAUSE);
  }

  private async ask(): Promise<void> {
    const document = vscode.window.activeTextEditor?.document;
    if (document === undefined || !this.documents.includes(document)) {
      return;
    }
    // A count that does not come is not shown; the next change asks again.
    const answer = await this.server.counts(document.uri).catch(() => undefined);
    this.told = answer === undefined ? undefined : { uri: document.uri.toString(), answer };
    this.refresh();
  }

  private count(uri: vscode.Uri): Counts {
    if (this.told?.uri === uri.toString()) {
      const { findings, claims, settling } = this.told.answer;
      const notes = findings.information + findings.hint;
      return { errors: findings.error, warnings: findings.warning, notes, claims, settling };
    }
    // Not told yet: what is shown in the text is counted.
    const shown = vscode.languages.getDiagnostics(uri).filter((diagnostic) => diagnostic.source === "gainsay");
    const of = (severity: vscode.DiagnosticSeverity): number =>
      shown.filter((diagnostic) => diagnostic.severity === severity).length;
    const errors = of(vscode.DiagnosticSeverity.Error);
    const warnings = of(vscode.DiagnosticSeverity.Warning);
    return { errors, warnings, notes: shown.length - errors - warnings, claims: undefined };
  }
}
