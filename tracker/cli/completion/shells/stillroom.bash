# Codes, names, verbs and options of stillroom where Tab is pressed, in bash 4.4 or later.
# In ~/.bashrc:  eval "$(stillroom completion bash)"
_stillroom() {
    local line word about is_odd=
    local -a found=() shown=()
    while IFS= read -r line; do
        word=${line%%$'\t'*} about=${line#*$'\t'}
        if [[ -z $word ]]; then
            compopt -o default
            return
        fi
        [[ $(printf %q "$word") == "$word" ]] || is_odd=yes
        found+=("$word")
        shown+=("${word}${about:+  ($about)}")
    done < <("${1/#\~/$HOME}" completion words bash "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null)
    compopt -o nosort
    # What a word is stands beside it in a list; where one is inserted, it goes in alone.
    if [[ ${#found[@]} -gt 1 && -z $is_odd && $COMP_TYPE != 37 && $COMP_TYPE != 42 ]]; then
        COMPREPLY=("${shown[@]}")
    elif [[ ${2:0:1} == [\"\'] || -z $is_odd ]]; then
        COMPREPLY=("${found[@]}")
    else
        mapfile -t COMPREPLY < <(printf '%q\n' "${found[@]}")
    fi
}
complete -F _stillroom stillroom
