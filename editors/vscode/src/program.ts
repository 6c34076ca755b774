import { homedir } from "node:os";
import { delimiter, isAbsolute, join } from "node:path";

/** Finds the program `gainsay`. */

/** What the search depends on, so that it can be tested without a machine of each kind. */
export interface Surroundings {
  /** The setting `gainsay.path`. */
  readonly configured: string;
  /** The folder that `${workspaceFolder}` and relative paths mean, if there is one. */
  readonly folder: string | undefined;
  /** The variable PATH. */
  readonly path: string;
  readonly windows: boolean;
  readonly isFile: (path: string) => boolean;
}

export type Found = { readonly program: string } | { readonly missing: string };

/**
 * The program to start: the one the setting names, or else the first on PATH. If there is
 * none, a sentence for the author that says where it was looked for.
 */
export function findProgram(around: Surroundings): Found {
  const names = around.windows ? ["gainsay.exe"] : ["gainsay"];
  const configured = around.configured.trim();
  if (configured !== "") {
    const path = expand(configured, around.folder);
    return around.isFile(path)
      ? { program: path }
      : { missing: `There is no file ${path}, which the setting gainsay.path names.` };
  }
  for (const folder of around.path.split(delimiter)) {
    for (const name of names) {
      const candidate = join(folder, name);
      if (folder !== "" && around.isFile(candidate)) {
        return { program: candidate };
      }
    }
  }
  return { missing: "The program gainsay is not on PATH. Install it, or name it in the setting gainsay.path." };
}

function expand(configured: string, folder: string | undefined): string {
  let path = configured;
  if (path === "~" || path.startsWith("~/") || path.startsWith("~\\")) {
    path = join(homedir(), path.slice(1));
  }
  if (folder === undefined) {
    return path;
  }
  path = path.replaceAll("${workspaceFolder}", folder);
  return isAbsolute(path) ? path : join(folder, path);
}
