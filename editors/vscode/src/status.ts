/** The words of the status bar. */

export interface Counts {
  readonly errors: number;
  readonly warnings: number;
  /** Information and hints together. */
  readonly notes: number;
  readonly claims: { readonly holds: number; readonly fails: number; readonly unsettled: number } | undefined;
  /** Whether more claims are being settled. */
  readonly settling?: boolean;
}

/** The text of the item, with the editor's own icons. */
export function statusText(counts: Counts): string {
  const findings = counts.errors + counts.warnings + counts.notes;
  const parts = [findings === 0 ? "$(check) no findings" : `$(warning) ${plural(findings, "finding")}`];
  if (counts.claims !== undefined) {
    const { holds, fails, unsettled } = counts.claims;
    parts.push(plural(holds + fails + unsettled, "claim"));
    if (counts.settling === true) {
      parts.push("settling");
    }
  }
  return parts.join(", ");
}

/** What the item says when it is pointed at, and to a screen reader. */
export function statusDetail(counts: Counts): string {
  const lines = [
    `Findings: ${plural(counts.errors, "error")}, ${plural(counts.warnings, "warning")}, ${plural(counts.notes, "note")}.`,
  ];
  if (counts.claims !== undefined) {
    const { holds, fails, unsettled } = counts.claims;
    lines.push(`Claims: ${holds} hold, ${fails} fail, ${unsettled} unsettled${counts.settling === true ? " so far" : ""}.`);
  }
  return lines.join("\n");
}

function plural(count: number, one: string): string {
  return `${count} ${one}${count === 1 ? "" : "s"}`;
}
