import * as vscode from "vscode";
import {
  DidChangeConfigurationNotification,
  DocumentFormattingRequest,
  DocumentRangeFormattingRequest,
  ExecuteCommandRequest,
  LanguageClient,
  State,
  WorkDoneProgressCancelNotification,
  type DocumentSelector,
  type LanguageClientOptions,
  type ProgressToken,
} from "vscode-languageclient/node";
import type { Documents } from "./documents";
import { GAMES } from "./manuscripts";
import {
  COUNTS,
  isCountsAnswer,
  isPositionAnswer,
  isStepAnswer,
  POSITION,
  STEP,
  type CountsAnswer,
  type Direction,
  type PositionAnswer,
} from "./protocol";
import { DEFAULTS, forServer } from "./settings";

/** The language server as the rest of the extension sees it. */
export class Server {
  private client: LanguageClient | undefined;
  private starting: Promise<void> = Promise.resolve();
  private readonly works = new Set<ProgressToken>();
  private readonly settled = new vscode.EventEmitter<void>();

  /** Fires when the server may know more of a document than before, as when claims have settled. */
  readonly onDidSettle = this.settled.event;

  private readonly worked = new vscode.EventEmitter<boolean>();

  /** Fires when the server begins or ends work that lasts; tells whether it is at work. */
  readonly onDidChangeWork = this.worked.event;

  constructor(
    private readonly documents: Documents,
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
      documentSelector: selector(this.documents.languages),
      outputChannel: this.log,
      diagnosticCollectionName: "gainsay",
      initializationOptions: { defaults: DEFAULTS },
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
            this.works.delete(token);
            this.settled.fire();
          } else {
            this.works.add(token);
          }
          this.worked.fire(this.works.size > 0);
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
    for (const request of [DocumentFormattingRequest, DocumentRangeFormattingRequest]) {
      this.formatOnlyGames(client, request.method);
    }
  }

  /** A manuscript's prose is formatted by whatever the author uses for it; we do not offer ourselves. */
  private formatOnlyGames(
    client: LanguageClient,
    method: typeof DocumentFormattingRequest.method | typeof DocumentRangeFormattingRequest.method,
  ): void {
    const feature =
      method === DocumentFormattingRequest.method ? client.getFeature(method) : client.getFeature(method);
    feature.clear();
    feature.register({ id: `gainsay ${method}`, registerOptions: { documentSelector: selector(GAMES) } });
  }

  /** Tells the server that settings have changed; it asks which. */
  async settingsChanged(): Promise<void> {
    if (this.running) {
      await this.client?.sendNotification(DidChangeConfigurationNotification.type, { settings: null });
    }
  }

  /** Asks the server to stop settling claims; says whether it was at work. */
  async stopSettling(): Promise<boolean> {
    const client = this.client;
    const works = [...this.works];
    for (const token of works) {
      await client?.sendNotification(WorkDoneProgressCancelNotification.type, { token });
    }
    return works.length > 0;
  }

  async stop(): Promise<void> {
    const client = this.client;
    this.client = undefined;
    this.works.clear();
    this.worked.fire(false);
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

  /** The place of the move that a step leads to; `undefined` where the line ends or the server does not run. */
  async step(document: vscode.TextDocument, place: vscode.Position, direction: Direction): Promise<vscode.Position | undefined> {
    const client = this.client;
    if (client === undefined) {
      return undefined;
    }
    const at = client.code2ProtocolConverter.asPosition(place);
    const answer = await this.command(STEP, [client.code2ProtocolConverter.asUri(document.uri), at, direction]);
    return isStepAnswer(answer) ? client.protocol2CodeConverter.asPosition(answer.position) : undefined;
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

/** Files and unsaved documents of these languages. */
function selector(languages: readonly string[]): DocumentSelector {
  return languages.flatMap((language) => [
    { language, scheme: "file" },
    { language, scheme: "untitled" },
  ]);
}
