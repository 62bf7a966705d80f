# Codes, names, verbs and options of stillroom where Tab is pressed, in PowerShell 5.1 or later.
# In $PROFILE:  stillroom completion powershell | Out-String | Invoke-Expression
Register-ArgumentCompleter -Native -CommandName stillroom -ScriptBlock {
    param($wordToComplete, $commandAst, $cursorPosition)
    $before = @($commandAst.CommandElements | Select-Object -Skip 1 |
        Where-Object { $_.Extent.EndOffset -lt $cursorPosition } | ForEach-Object { "$_" })
    # An empty word would be left out of the line; in quotation marks it stays.
    $last = if ($wordToComplete) { "$wordToComplete" } else { '""' }
    stillroom completion words powershell @before $last 2>$null | ForEach-Object {
        $word, $about = $_ -split "`t", 2
        if (-not $word) { return }
        $text = if ($word -match '^[\w./-]+$') { $word } else { "'" + $word.Replace("'", "''") + "'" }
        if (-not $about) { $about = $word }
        [System.Management.Automation.CompletionResult]::new($text, $word, 'ParameterValue', $about)
    }
}
