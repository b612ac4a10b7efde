import type { OptionSpec } from "../spec.ts";
import { argumentWords, type Node, quote, takesFiles } from "./node.ts";

/** One `complete` line an option or word, each with the condition under which it holds. */
export function fishScript(nodes: Node[]): string {
  const lines = nodes.flatMap((node) => {
    const when = condition(node);
    return [
      ...(takesFiles(node) ? [`complete -c ringwright -n ${quote(when)} -F`] : []),
      ...wordLines(node, when),
      ...node.options.map((option) => optionLine(option, when)),
    ];
  });
  return ["# fish completion for ringwright", "complete -c ringwright -f", ...lines, ""].join("\n");
}

/** True exactly at this node: past its own words, not yet past one of its children's. */
function condition(node: Node): string {
  if (node.path.length === 0) return "__fish_use_subcommand";
  const seen = node.path.map((word) => `__fish_seen_subcommand_from ${word}`);
  const children = node.children.map((child) => child.name);
  if (children.length > 0) seen.push(`not __fish_seen_subcommand_from ${children.join(" ")}`);
  return seen.join("; and ");
}

function wordLines(node: Node, when: string): string[] {
  const summaries = new Map(node.children.map(({ name, summary }) => [name, summary]));
  return argumentWords(node).map((word) => {
    const summary = summaries.get(word);
    return `complete -c ringwright -n ${quote(when)} -a ${word}${summary ? ` -d ${quote(summary)}` : ""}`;
  });
}

function optionLine({ name, value, description, completes }: OptionSpec, when: string): string {
  const parts = [`complete -c ringwright -n ${quote(when)} -l ${name}`];
  if (value !== null) parts.push(completes === "file" ? "-rF" : "-x");
  if (Array.isArray(completes)) parts.push(`-a ${quote(completes.join(" "))}`);
  return [...parts, `-d ${quote(description)}`].join(" ");
}
