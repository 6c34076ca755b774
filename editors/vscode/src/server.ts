import * as vscode from "vscode";
import {
  ExecuteCommandRequest,
  LanguageClient,
  State,
  TransportKind,
  type LanguageClientOptions,
} from "vscode-languageclient/node";
import { isPositionAnswer, POSITION, type PositionAnswer } from "./protocol";
import { forServer } from "./settings";

/** The language server as the rest of the extension sees it. */
export class Server {
  private client: LanguageClient | undefined;
  private starting: Promise<void> = Promise.resolve();

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
        command: program,
        args: ["serve"],
        transport: TransportKind.stdio,
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
    if (client === undefined || !this.running) {
      return undefined;
    }
    const answer: unknown = await client.sendRequest(
      ExecuteCommandRequest.type,
      {
        command: POSITION,
        arguments: [
          {
            uri: client.code2ProtocolConverter.asUri(document.uri),
            position: client.code2ProtocolConverter.asPosition(place),
          },
        ],
      },
      token,
    );
    return isPositionAnswer(answer) ? answer : undefined;
  }
}
