import * as vscode from "vscode";
import { statusDetail, statusText, type Counts } from "./status";

/** The item in the status bar: how many findings and claims the active file has. */
export class Status implements vscode.Disposable {
  private readonly item = vscode.window.createStatusBarItem("gainsay.counts", vscode.StatusBarAlignment.Left, 20);
  private readonly parts: vscode.Disposable[] = [this.item];
  private trouble: string | undefined = "The server is starting.";

  constructor(
    private readonly languages: readonly string[],
  ) {
    this.item.name = "gainsay";
    this.parts.push(
      vscode.window.onDidChangeActiveTextEditor(() => this.refresh()),
      vscode.languages.onDidChangeDiagnostics((change) => {
        const shown = vscode.window.activeTextEditor?.document.uri.toString();
        if (change.uris.some((uri) => uri.toString() === shown)) {
          this.refresh();
        }
      }),
    );
    this.refresh();
  }

  runs(): void {
    this.trouble = undefined;
    this.refresh();
  }

  cannotRun(why: string): void {
    this.trouble = why;
    this.refresh();
  }

  dispose(): void {
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
    return { errors, warnings, notes, claims: undefined };
  }
}
