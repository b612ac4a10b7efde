import type { ArgumentSpec, Completes, OptionSpec } from "../spec.ts";
import { type Node, quote } from "./node.ts";

/** One function a command; `_arguments` does the rest. */
export function zshScript(nodes: Node[]): string {
  return `#compdef ringwright
${nodes.map(commandFunction).join("\n")}
if [[ $funcstack[1] == _ringwright ]]; then
  _ringwright "$@"
else
  compdef _ringwright ringwright
fi
`;
}

function commandFunction(node: Node): string {
  const options = node.options.map((option) => quote(optionSpec(option)));
  if (node.children.length === 0) {
    const specs = [...options, ...node.arguments.map((argument) => quote(argumentSpec(argument)))];
    return `${functionName(node.path)}() {
  _arguments -s ${specs.join(" ")}
}`;
  }
  const children = node.children.map((child) => quote(`${child.name}:${child.summary}`));
  return `${functionName(node.path)}() {
  local state line
  local -a commands=(${children.join(" ")})
  _arguments -C ${options.join(" ")} '1: :->command' '*:: :->rest'
  case $state in
    command) _describe command commands ${node.arguments.some(({ completes }) => completes === "file") ? "; _files " : ""};;
    rest) (( $+functions[${functionName(node.path)}_$line[1]] )) && ${functionName(node.path)}_$line[1] || _files ;;
  esac
}`;
}

function functionName(path: string[]): string {
  return ["_ringwright", ...path].join("_");
}

function optionSpec({ name, value, description, completes, repeatable }: OptionSpec): string {
  const many = repeatable ? "*" : "";
  const what = description.replaceAll(/[[\]:]/g, "\\$&");
  return `${many}--${name}[${what}]${value === null ? "" : `:${value}:${action(completes)}`}`;
}

function argumentSpec({ name, completes, repeatable, optional }: ArgumentSpec): string {
  const place = repeatable ? "*" : optional ? ":" : "";
  return `${place}:${name}:${action(completes)}`;
}

function action(completes: Completes): string {
  if (completes === "file") return "_files";
  return completes === null ? " " : `(${completes.join(" ")})`;
}
