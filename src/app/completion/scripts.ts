/**
 * What each shell is told: hand the words up to the cursor to `leakbench complete`, offer what comes back,
 * and where nothing does, files. No word is ever evaluated. Ours, because the libraries for it complete no
 * files.
 */
import type { Shell } from './shells.ts';

export const SCRIPTS: Readonly<Record<Shell, string>> = {
  bash: `# leakbench in bash: eval "$(leakbench completion bash)", for instance in ~/.bashrc
_leakbench() {
  local IFS=$'\\n'
  COMPREPLY=($(leakbench complete -- "\${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null))
}
complete -o bashdefault -o default -F _leakbench leakbench
`,
  zsh: `# leakbench in zsh: eval "$(leakbench completion zsh)", in ~/.zshrc after compinit
_leakbench() {
  local -a found
  found=(\${(f)"$(leakbench complete -- "\${(@)words[2,CURRENT]}" 2>/dev/null)"})
  if (( \${#found} )); then compadd -a found; else _files; fi
}
compdef _leakbench leakbench
`,
  fish: `# leakbench in fish: leakbench completion fish | source, for instance in ~/.config/fish/config.fish
function __leakbench
  set -l found (leakbench complete -- (commandline -opc)[2..] (commandline -ct) 2>/dev/null)
  if test (count $found) -gt 0
    printf '%s\\n' $found
  else
    __fish_complete_path (commandline -ct)
  end
end
complete -c leakbench -f -a '(__leakbench)'
`,
};
