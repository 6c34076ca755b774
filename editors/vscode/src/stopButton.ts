import * as vscode from "vscode";
import type { Server } from "./server";

/**
 * A button in the status bar that stops the server's work. It is there while the server works: the
 * editor shows the progress beside it, but gives a progress in the status bar no button to cancel.
 */
export class StopButton implements vscode.Disposable {
  private readonly item = vscode.window.createStatusBarItem("gainsay.stop", vscode.StatusBarAlignment.Left, 19);
  private readonly listening: vscode.Disposable;

  constructor(server: Server) {
    this.item.name = "gainsay: stop";
    this.item.text = "$(stop-circle)";
    this.item.tooltip = "Stop settling the claims";
    this.item.command = "gainsay.stopSettling";
    this.item.accessibilityInformation = { label: "Stop settling the claims", role: "button" };
    this.listening = server.onDidChangeWork((working) => (working ? this.item.show() : this.item.hide()));
  }

  dispose(): void {
    this.listening.dispose();
    this.item.dispose();
  }
}
