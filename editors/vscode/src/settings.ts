import { manuscripts } from "./manuscripts";

/** The settings that only this extension understands; the server would call them unknown. */
const OWN: ReadonlySet<string> = new Set(["path", "board", "trace"]);

/** What holds in this editor where neither the author nor the settings file says anything. */
export const DEFAULTS = { manuscripts: manuscripts(undefined), pictures: true };

/**
 * What the server is told when it asks for the settings: without the extension's own, and
 * without those left at `null`, for which the settings file or the server's default holds.
 */
export function forServer(section: unknown): unknown {
  if (typeof section !== "object" || section === null || Array.isArray(section)) {
    return section;
  }
  return Object.fromEntries(
    Object.entries(section)
      .filter(([key]) => !OWN.has(key))
      .map(([key, value]) => [key, withoutNulls(value)] as const)
      .filter(([, value]) => value !== undefined),
  );
}

function withoutNulls(value: unknown): unknown {
  if (value === null) {
    return undefined;
  }
  if (typeof value !== "object" || Array.isArray(value)) {
    return value;
  }
  const entries = Object.entries(value)
    .map(([key, inner]) => [key, withoutNulls(inner)] as const)
    .filter(([, inner]) => inner !== undefined);
  return entries.length === 0 ? undefined : Object.fromEntries(entries);
}
