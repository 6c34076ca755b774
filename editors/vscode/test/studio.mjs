// Installs and starts a whole Visual Studio Code (the npm package code-server) to test in.
import { execFileSync, spawn } from "node:child_process";
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { homedir, tmpdir } from "node:os";
import { join } from "node:path";

const here = new URL(".", import.meta.url).pathname;
const { version } = JSON.parse(readFileSync(`${here}studio/package-lock.json`, "utf8")).packages["node_modules/code-server"];

/** Where code-server is kept between runs: about 330 MB, outside the repository. */
export const home = process.env.GAINSAY_STUDIO ?? join(homedir(), ".cache", "gainsay-studio", version);

const entry = join(home, "node_modules/code-server/out/node/entry.js");

/**
 * Installs code-server once. Its own install script fetches a search program from outside
 * the registry, so the scripts are left out, and the three modules of native code that an editor
 * without search and terminal needs are built here (a C++ compiler and Node's headers are needed).
 */
export function install() {
  const done = join(home, "installed");
  if (existsSync(done)) {
    return;
  }
  rmSync(home, { recursive: true, force: true });
  mkdirSync(home, { recursive: true });
  cpSync(`${here}studio`, home, { recursive: true });
  const npm = (folder, ...args) => execFileSync("npm", args, { cwd: folder, stdio: ["ignore", "inherit", "inherit"] });
  const code = join(home, "node_modules/code-server/lib/vscode");
  npm(home, "ci", "--ignore-scripts");
  npm(code, "install", "--ignore-scripts", "--omit=dev", "--legacy-peer-deps");
  npm(join(code, "extensions"), "install", "--ignore-scripts", "--omit=dev");
  npm(home, "rebuild", "argon2");
  npm(code, "rebuild", "@vscode/spdlog", "native-watchdog");
  symlinkSync("node_modules", join(code, "node_modules.asar"));
  writeFileSync(done, `${version}\n`);
}

/** Starts the editor with one extension and one folder. */
export async function start({ vsix, settings, from }) {
  const place = mkdtempSync(join(tmpdir(), "gainsay-studio-"));
  const folder = join(place, "workspace");
  const user = join(place, "user");
  // One window later shows two folders, each with settings of its own.
  const workspace = join(place, "two.code-workspace");
  writeFileSync(workspace, JSON.stringify({ folders: [{ path: "workspace/first" }, { path: "workspace/second" }] }));
  // What only holds on one machine, such as a program's path, is read from the machine's settings.
  const kinds = ["User", "Machine"];
  kinds.forEach((kind) => mkdirSync(join(user, kind), { recursive: true }));
  cpSync(from, folder, { recursive: true });
  const write = (values, blanks) =>
    kinds.forEach((kind) => writeFileSync(join(user, kind, "settings.json"), JSON.stringify(values, null, 2) + blanks));
  let timers = [];
  const set = (values) => {
    write(values, "");
    // The editor sometimes overlooks that a file has changed: it is changed again, in nothing but blanks.
    timers.forEach(clearTimeout);
    timers = [700, 2500].map((pause) => setTimeout(() => write(values, " ".repeat(pause / 100)), pause));
  };
  write(settings, "");
  const environment = { ...process.env, XDG_CONFIG_HOME: join(place, "config"), XDG_DATA_HOME: join(place, "data") };
  const folders = ["--user-data-dir", user, "--extensions-dir", join(place, "extensions")];
  execFileSync(process.execPath, [entry, ...folders, "--install-extension", vsix], { env: environment, stdio: "pipe" });

  const port = await freePort();
  const child = spawn(
    process.execPath,
    [
      entry,
      ...folders,
      ...["--auth", "none", "--bind-addr", `127.0.0.1:${port}`],
      ...["--disable-telemetry", "--disable-update-check", "--disable-workspace-trust", "--disable-getting-started-override"],
      folder,
    ],
    { env: environment, stdio: ["ignore", "pipe", "pipe"], detached: true },
  );
  let log = "";
  child.stdout.on("data", (data) => (log += data));
  child.stderr.on("data", (data) => (log += data));
  await until(() => log.includes("HTTP server listening"), () => `code-server did not start:\n${log}`);

  return {
    address: `http://127.0.0.1:${port}/?folder=${folder}`,
    addressOfTwo: `http://127.0.0.1:${port}/?workspace=${workspace}`,
    folder,
    user,
    set,
    async stop() {
      timers.forEach(clearTimeout);
      // The editor has children of its own; all are in its process group.
      const ended = new Promise((resolve) => child.once("exit", resolve));
      try {
        process.kill(-child.pid, "SIGTERM");
      } catch {
        // It has ended by itself.
      }
      await Promise.race([ended, new Promise((resolve) => setTimeout(resolve, 5000))]);
      rmSync(place, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}

/** Waits until `done` says so, for at most a minute. */
export async function until(done, complaint, patience = 60_000) {
  for (const end = Date.now() + patience; Date.now() < end; ) {
    if (await done()) {
      return;
    }
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  throw new Error(await complaint());
}

function freePort() {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once("error", reject);
    server.listen(0, "127.0.0.1", () => {
      const { port } = server.address();
      server.close(() => resolve(port));
    });
  });
}
