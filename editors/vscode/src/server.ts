import * as vscode from "vscode";
import {
  ExecuteCommandRequest,
  LanguageClient,
  State,
  type LanguageClientOptions,
} from "vscode-languageclient/node";
import {
  COUNTS,
  isCountsAnswer,
  isPositionAnswer,
  POSITION,
  type CountsAnswer,
  type PositionAnswer,
} from "./protocol";
import { forServer } from "./settings";

/** The language server as the rest of the extension sees it. */
export class Server {
  private client: LanguageClient | undefined;
  private starting: Promise<void> = Promise.resolve();
  private readonly settled = new vscode.EventEmitter<void>();

  /** Fires when the server may know more of a document than before, as when claims have settled. */
  readonly onDidSettle = this.settled.event;

  constructor(
    private readonly languages: readonly string[],
    private readonly log: vscode.LogOutputChannel,
  ) {}

  get running(): boolean {
    return this.client?.state === State.Running;
  }

  /** Starts the program as a server on standard input and output; one that runs is stopped first. */
  async start(program: string): Promise<void> {
    // Two starts in quick succession, as when settings change, come one after the other.
    this.starting = this.starting.catch(() => undefined).then(() => this.replace(program));
    return this.starting;
  }

  private async replace(program: string): Promise<void> {
    await this.stop();
    const folder = vscode.workspace.workspaceFolders?.[0]?.uri.fsPath;
    const options: LanguageClientOptions = {
      documentSelector: this.languages.flatMap((language) => [
        { language, scheme: "file" },
        { language, scheme: "untitled" },
      ]),
      outputChannel: this.log,
      diagnosticCollectionName: "gainsay",
      middleware: {
        // The server asks the editor to take hints and lenses anew when verdicts have changed.
        provideInlayHints: (document, range, token, next) => {
          this.settled.fire();
          return next(document, range, token);
        },
        provideCodeLenses: (document, token, next) => {
          this.settled.fire();
          return next(document, token);
        },
        handleWorkDoneProgress: (token, params, next) => {
          next(token, params);
          if (params.kind === "end") {
            this.settled.fire();
          }
        },
        workspace: {
          configuration: async (params, token, next) => {
            const answers = await next(params, token);
            return Array.isArray(answers) ? answers.map(forServer) : answers;
          },
        },
      },
    };
    const client = new LanguageClient(
      "gainsay",
      "gainsay",
      {
        // With no transport named the client talks over standard input and output and adds no option.
        command: program,
        args: ["serve"],
        ...(folder === undefined ? {} : { options: { cwd: folder } }),
      },
      options,
    );
    this.client = client;
    await client.start();
  }

  async stop(): Promise<void> {
    const client = this.client;
    this.client = undefined;
    if (client !== undefined && client.needsStop()) {
      await client.stop().catch((error: unknown) => this.log.warn(`The server did not stop in time: ${String(error)}`));
    }
  }

  /** The position at a place; `undefined` if there is none or the server does not run. */
  async position(
    document: vscode.TextDocument,
    place: vscode.Position,
    token: vscode.CancellationToken,
  ): Promise<PositionAnswer | undefined> {
    const client = this.client;
    if (client === undefined) {
      return undefined;
    }
    const at = client.code2ProtocolConverter.asPosition(place);
    const answer = await this.command(POSITION, [client.code2ProtocolConverter.asUri(document.uri), at], token);
    return isPositionAnswer(answer) ? answer : undefined;
  }

  /** The claims of a document by their verdict; `undefined` if the server does not count them. */
  async counts(uri: vscode.Uri): Promise<CountsAnswer | undefined> {
    const client = this.client;
    const offered = client?.initializeResult?.capabilities.executeCommandProvider?.commands ?? [];
    if (client === undefined || !offered.includes(COUNTS)) {
      return undefined;
    }
    const answer = await this.command(COUNTS, [client.code2ProtocolConverter.asUri(uri)]);
    return isCountsAnswer(answer) ? answer : undefined;
  }

  private async command(command: string, args: unknown[], token?: vscode.CancellationToken): Promise<unknown> {
    return this.running
      ? this.client?.sendRequest(ExecuteCommandRequest.type, { command, arguments: args }, token)
      : undefined;
  }
}
