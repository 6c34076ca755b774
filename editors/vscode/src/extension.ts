import { execFile } from "node:child_process";
import { statSync } from "node:fs";
import { promisify } from "node:util";
import * as vscode from "vscode";
import { drawBoard } from "./board/drawing";
import { readFen, squareOf } from "./board/position";
import { toMarkup } from "./board/shape";
import { heading, state } from "./board/words";
import { Documents } from "./documents";
import { Follower } from "./follower";
import { BoardPanel, PANEL_KIND } from "./panel";
import { findProgram, type Found } from "./program";
import type { Direction, FromPanel } from "./protocol";
import { Server } from "./server";
import { Status } from "./statusItem";
import { StopButton } from "./stopButton";

/** What the extension is made of while it runs. */
class Extension {
  private readonly log = vscode.window.createOutputChannel("gainsay", { log: true });
  private readonly documents = new Documents();
  private readonly server = new Server(this.documents, this.log);
  private readonly follower = new Follower(this.documents, this.server);
  private readonly status = new Status(this.documents, this.server);
  private panel: BoardPanel | undefined;
  private wanted = false;
  /** The last step that was asked for: each starts from where the one before it led. */
  private stepped: Promise<void> = Promise.resolve();

  constructor(private readonly context: vscode.ExtensionContext) {
    const command = (name: string, run: () => unknown): vscode.Disposable => vscode.commands.registerCommand(name, run);
    context.subscriptions.push(
      this.log,
      this.documents,
      this.follower,
      this.status,
      new StopButton(this.server),
      command("gainsay.openBoard", () => this.openBoard()),
      command("gainsay.flipBoard", () => this.follower.flip()),
      command("gainsay.nextMove", () => this.step("next")),
      command("gainsay.previousMove", () => this.step("previous")),
      command("gainsay.lineStart", () => this.step("start")),
      command("gainsay.lineEnd", () => this.step("end")),
      command("gainsay.copyFen", () => this.copyFen()),
      command("gainsay.copySvg", () => this.copySvg()),
      command("gainsay.saveBoard", () => this.saveBoard()),
      command("gainsay.restart", () => this.start()),
      command("gainsay.stopSettling", () => this.stopSettling()),
      command("gainsay.showLog", () => this.log.show()),
      vscode.window.registerWebviewPanelSerializer(PANEL_KIND, {
        deserializeWebviewPanel: async (view) => {
          this.panel?.dispose();
          this.panel = new BoardPanel(view, context.extensionUri, ...this.ears());
          this.follower.lead(this.panel);
        },
      }),
      vscode.workspace.onDidChangeConfiguration((change) => {
        if (change.affectsConfiguration("gainsay.path") || change.affectsConfiguration("gainsay.manuscripts")) {
          void (this.wanted ? this.start() : this.startIfWanted());
        } else if (change.affectsConfiguration("gainsay")) {
          void this.server.settingsChanged();
        }
        if (change.affectsConfiguration("gainsay.board")) {
          this.follower.refresh();
        }
      }),
      vscode.workspace.onDidGrantWorkspaceTrust(() => void (this.wanted && this.start())),
      this.documents.onDidAppear(() => void this.startIfWanted()),
    );
  }

  /** Starts the server once there is something for it to read: Markdown alone is no reason to. */
  async startIfWanted(): Promise<void> {
    if (!this.wanted && this.documents.any) {
      await this.start();
    }
  }

  async start(): Promise<void> {
    this.wanted = true;
    const found = this.find();
    if ("missing" in found) {
      await this.server.stop();
      this.status.cannotRun(found.missing);
      this.follower.refresh();
      this.log.error(found.missing);
      void this.offerSettings(found.missing);
      return;
    }
    this.log.info(`Starting ${found.program} serve`);
    try {
      await this.server.start(found.program);
      this.status.runs();
    } catch (error) {
      const why = `${found.program} could not be started: ${error instanceof Error ? error.message : String(error)}`;
      this.log.error(why);
      this.status.cannotRun(why);
      void this.offerSettings(why);
    }
    this.follower.refresh();
  }

  async stop(): Promise<void> {
    await this.server.stop();
  }

  private find(): Found {
    return findProgram({
      configured: vscode.workspace.getConfiguration("gainsay").get<string>("path", ""),
      folder: vscode.workspace.workspaceFolders?.[0]?.uri.fsPath,
      path: process.env["PATH"] ?? "",
      windows: process.platform === "win32",
      isFile: (path) => statSync(path, { throwIfNoEntry: false })?.isFile() ?? false,
    });
  }

  private async offerSettings(why: string): Promise<void> {
    const settings = "Open Settings";
    const log = "Show Log";
    const chosen = await vscode.window.showErrorMessage(`gainsay: ${why}`, settings, log);
    if (chosen === settings) {
      await vscode.commands.executeCommand("workbench.action.openSettings", "gainsay.path");
    } else if (chosen === log) {
      this.log.show();
    }
  }

  private openBoard(): void {
    if (this.panel === undefined) {
      this.panel = BoardPanel.open(this.context.extensionUri, ...this.ears());
      this.follower.lead(this.panel);
    } else {
      this.panel.reveal();
    }
  }

  private ears(): [(message: FromPanel) => void, () => void] {
    return [
      (message) => void this.hear(message),
      () => {
        this.panel = undefined;
        this.follower.lead(undefined);
      },
    ];
  }

  private async hear(message: FromPanel): Promise<void> {
    switch (message.kind) {
      case "ready":
        this.follower.refresh();
        return;
      case "step":
        await this.step(message.direction);
        return;
      case "flip":
        this.follower.flip();
        return;
      case "copyFen":
        await this.copyFen();
        return;
    }
  }

  /** Moves the cursor along the line that it is in: of the game, of a side-line, or cited in words. */
  private step(direction: Direction): Promise<void> {
    this.stepped = this.stepped.then(
      () => this.stepNow(direction),
      () => this.stepNow(direction),
    );
    return this.stepped;
  }

  private async stepNow(direction: Direction): Promise<void> {
    const editor = this.follower.editor;
    if (editor === undefined) {
      return;
    }
    const place = await this.server.step(editor.document, editor.selection.active, direction);
    if (place === undefined) {
      const last = direction === "next" || direction === "end";
      vscode.window.setStatusBarMessage(last ? "The last move of this line" : "The first move of this line", 2000);
      return;
    }
    editor.selection = new vscode.Selection(place, place);
    editor.revealRange(new vscode.Range(place, place), vscode.TextEditorRevealType.InCenterIfOutsideViewport);
  }

  private async stopSettling(): Promise<void> {
    const stopped = await this.server.stopSettling();
    vscode.window.setStatusBarMessage(stopped ? "Settling was stopped" : "No claims are being settled", 2000);
  }

  private async copyFen(): Promise<void> {
    const answer = await this.follower.ask();
    if (answer === undefined) {
      void vscode.window.showInformationMessage("There is no position at the cursor.");
      return;
    }
    await vscode.env.clipboard.writeText(answer.fen);
    vscode.window.setStatusBarMessage("The position was copied as FEN", 2000);
  }

  private async copySvg(): Promise<void> {
    const board = await this.drawn();
    if (board !== undefined) {
      await vscode.env.clipboard.writeText(board.svg);
      vscode.window.setStatusBarMessage("The board was copied as SVG", 2000);
    }
  }

  /** Writes the board to a file: as SVG, as PNG, or its position as FEN, by the ending of the name. */
  private async saveBoard(): Promise<void> {
    const board = await this.drawn();
    if (board === undefined) {
      return;
    }
    const beside = this.follower.editor?.document.uri;
    const target = await vscode.window.showSaveDialog({
      title: "Save the board as a picture, or its position",
      ...(beside === undefined ? {} : { defaultUri: vscode.Uri.joinPath(beside, "..", "board.svg") }),
      filters: { "Picture of lines": ["svg"], "Picture of dots": ["png"], "Position": ["fen"] },
    });
    if (target === undefined) {
      return;
    }
    const ending = target.path.slice(target.path.lastIndexOf(".") + 1).toLowerCase();
    try {
      if (ending === "png") {
        await this.saveDots(board, target);
      } else if (ending === "svg" || ending === "fen") {
        const text = ending === "svg" ? board.svg : `${board.fen}\n`;
        await vscode.workspace.fs.writeFile(target, new TextEncoder().encode(text));
      } else {
        void vscode.window.showErrorMessage("gainsay: End the name with .svg, .png or .fen; that says what is written.");
        return;
      }
      vscode.window.setStatusBarMessage("The board was saved", 2000);
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error);
      void vscode.window.showErrorMessage(`gainsay: The board was not saved: ${why}`);
    }
  }

  /** The program draws dots. It writes over none but its own files, and the author has agreed. */
  private async saveDots(board: Drawn, target: vscode.Uri): Promise<void> {
    const found = this.find();
    if ("missing" in found) {
      throw new Error(found.missing);
    }
    const words = ["board", board.fen, "--format", "png", "--side", board.side];
    const { stdout } = await promisify(execFile)(found.program, words, { encoding: "buffer", maxBuffer: 16 << 20 });
    await vscode.workspace.fs.writeFile(target, stdout);
  }

  /** The board at the cursor, drawn; `undefined`, which is told, where there is none. */
  private async drawn(): Promise<Drawn | undefined> {
    const answer = await this.follower.ask();
    const position = answer === undefined ? undefined : readFen(answer.fen);
    if (answer === undefined || position === undefined) {
      void vscode.window.showInformationMessage("There is no position at the cursor.");
      return undefined;
    }
    const from = squareOf(answer.lastMove?.[0]);
    const to = squareOf(answer.lastMove?.[1]);
    const check = squareOf(answer.check ?? undefined);
    const picture = drawBoard(
      position,
      {
        bottom: this.follower.bottom(position.mover),
        lastMove: from !== undefined && to !== undefined ? [from, to] : undefined,
        check,
        label: `${heading(answer.move ?? undefined)}. ${answer.summary ?? state(position, check !== undefined)}.`,
      },
      "image",
    );
    const side = this.follower.bottom(position.mover);
    return { svg: `${toMarkup(picture)}\n`, fen: answer.fen, side };
  }
}

/** A board as it is copied and saved. */
interface Drawn {
  readonly svg: string;
  readonly fen: string;
  readonly side: "white" | "black";
}

let extension: Extension | undefined;

/** Called by the editor when a game file is opened. */
export async function activate(context: vscode.ExtensionContext): Promise<void> {
  extension = new Extension(context);
  await extension.startIfWanted();
}

/** Called by the editor when it closes. */
export async function deactivate(): Promise<void> {
  await extension?.stop();
  extension = undefined;
}
