# Codes, names, verbs and options of stillroom where Tab is pressed, in fish.
# In ~/.config/fish/config.fish:  stillroom completion fish | source
function __stillroom_offers
    set -l before (commandline -opc)
    set -l now (commandline -ct)
    test (count $now) -eq 0; and set now ""
    for line in ($before[1] completion words fish $before[2..-1] "$now" 2>/dev/null)
        if string match -q -- \t'*' $line
            __fish_complete_path "$now"
        else
            printf '%s\n' $line
        end
    end
end
complete -c stillroom -f -k -a '(__stillroom_offers)'
