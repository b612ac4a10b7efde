import type { OptionSpec } from "../spec.ts";
import { argumentWords, type Node, quote, takesFiles } from "./node.ts";

/** File names are left to readline (`-o default`), which knows how to quote them. */
export function bashScript(nodes: Node[]): string {
  const steps = nodes.filter((node) => node.path.length > 0).map((node) => quote(node.path.join(" ")));
  return `# bash completion for ringwright
_ringwright() {
  local cur=\${COMP_WORDS[COMP_CWORD]} prev=\${COMP_WORDS[COMP_CWORD - 1]} path="" i words=""
  COMPREPLY=()
  # --option=value reaches us as three words.
  if [[ $cur == "=" ]]; then
    cur=""
  elif [[ $prev == "=" ]]; then
    prev=\${COMP_WORDS[COMP_CWORD - 2]}
  fi
  for ((i = 1; i < COMP_CWORD; i++)); do
    case "\${path:+$path }\${COMP_WORDS[i]}" in
      ${steps.join(" | ")}) path="\${path:+$path }\${COMP_WORDS[i]}" ;;
    esac
  done
  case "$path $prev" in
${nodes.flatMap(valueCases).join("\n")}
  esac
  case "$path" in
${nodes.map(wordCase).join("\n")}
  esac
  COMPREPLY=($(compgen -W "$words" -- "$cur"))
}
complete -o default -F _ringwright ringwright
`;
}

function valueCases(node: Node): string[] {
  return node.options
    .filter((option) => option.value !== null)
    .map((option) => `    ${quote(`${node.path.join(" ")} --${option.name}`)}) ${valueAction(option)} ;;`);
}

function valueAction({ completes }: OptionSpec): string {
  if (completes === "file") return "return";
  if (completes === null) return "compopt +o default; return";
  return `COMPREPLY=($(compgen -W ${quote(completes.join(" "))} -- "$cur")); return`;
}

function wordCase(node: Node): string {
  const options = node.options.map((option) => `--${option.name}`).join(" ");
  const words = argumentWords(node).join(" ");
  const otherwise = takesFiles(node) ? "" : "compopt +o default; ";
  return `    ${quote(node.path.join(" "))}) if [[ $cur == -* ]]; then words=${quote(options)}; else ${otherwise}words=${quote(words)}; fi ;;`;
}
