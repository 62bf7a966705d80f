#compdef stillroom
# Codes, names, verbs and options of stillroom where Tab is pressed, in zsh.
# In ~/.zshrc, after compinit:  eval "$(stillroom completion zsh)"
_stillroom() {
    local line word
    local -a typed found shown
    typed=("${(@Q)words[2,CURRENT]}")
    for line in "${(@f)$(${~words[1]} completion words zsh "${typed[@]}" 2>/dev/null)}"; do
        [[ -n $line ]] || continue
        word=${line%%$'\t'*}
        if [[ -z $word ]]; then
            _files
            return
        fi
        found+=("$word")
        shown+=("${(r:16:)word}  ${line#*$'\t'}")
        [[ ${#word} -le 16 ]] || shown[-1]="$word  ${line#*$'\t'}"
    done
    (( ${#found} )) || return 1
    # Matched already, by the code or by the name: what is typed need not be in what is offered.
    compadd -U -V stillroom -l -d shown -a found
}
if [[ ${funcstack[1]} == _stillroom ]]; then
    _stillroom "$@"
else
    compdef _stillroom stillroom
fi
