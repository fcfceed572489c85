# Completions of barwright for fish, printed by: barwright completion fish
# Written by tests/tools/completions.py from the command line's own parser; do not edit.
# The functions below are from the templates of shtab (Apache License 2.0).

function _shtab_barwright_scan
  set -g _shtab_barwright_cmdpath ''
  set -g _shtab_barwright_npos 0
  set -l tokens (commandline -opc)
  set -e tokens[1]
  set -l expect_value 0
  for t in $tokens
    if test $expect_value -eq 1
      set expect_value 0
      continue
    end
    switch "$t"
      case '--*=*'
        continue
      case '-*'
        if contains -- $t $_shtab_barwright_opts_with_value
          set expect_value 1
        end
        continue
      case '*'
        if test $_shtab_barwright_npos -eq 0
          set -l candidate $t
          if test -n "$_shtab_barwright_cmdpath"
            set candidate "$_shtab_barwright_cmdpath $t"
          end
          if contains -- $candidate $_shtab_barwright_commands
            set -g _shtab_barwright_cmdpath $candidate
            continue
          end
        end
        set -g _shtab_barwright_npos (math $_shtab_barwright_npos + 1)
    end
  end
end

function _shtab_barwright_using
  _shtab_barwright_scan
  test "$_shtab_barwright_cmdpath" = "$argv"
end

set -g _shtab_barwright_commands blend feasible reach weigh swap fats additives designs measures explain trial 'trial add' 'trial list' 'trial fit' schema completion new
set -g _shtab_barwright_opts_with_value --against --ash --date --folder --hardness --hardness-unit --keep --lp --near --note --out --save --shelf --trace --unmould

complete -c barwright -e
complete -c barwright -f

complete -c barwright -n _shtab_barwright_using -s h -l help -d 'show this help message and exit'
complete -c barwright -n _shtab_barwright_using -l version -d 'name and version, and stop'
complete -c barwright -n '_shtab_barwright_using; and test $_shtab_barwright_npos -eq 0' -a blend -d 'the cheapest blend that meets the goals, or why there is none'
complete -c barwright -n '_shtab_barwright_using blend' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using blend' -l full -d 'tell all that there is to tell'
complete -c barwright -n '_shtab_barwright_using blend' -l shelf -xka "(__fish_complete_path (commandline -ct))" -d 'use this shelf in place of the file'"'"'s'
complete -c barwright -n '_shtab_barwright_using blend' -l near -xka "(__fish_complete_path (commandline -ct))" -d 'stay as near as can be to this recipe in hand'
complete -c barwright -n '_shtab_barwright_using blend' -l json -d 'one JSON document on stdout, faults of the files too'
complete -c barwright -n '_shtab_barwright_using blend' -l no-color -l no-colour -d 'plain text'
complete -c barwright -n '_shtab_barwright_using blend' -l save -xka "(__fish_complete_path (commandline -ct))" -d 'also write the recipe, rounded for the balance'
complete -c barwright -n '_shtab_barwright_using blend' -l watch -d 'answer anew whenever the goals or the shelf are saved'
complete -c barwright -n '_shtab_barwright_using blend' -l steps -d 'tell the making steps too'
complete -c barwright -n '_shtab_barwright_using blend' -l lp -xka "(__fish_complete_path (commandline -ct))" -d 'also write the programme for other solvers (LP format)'
complete -c barwright -n '_shtab_barwright_using blend' -l force -d 'let --save and --lp write over a file'
complete -c barwright -n '_shtab_barwright_using blend; and test $_shtab_barwright_npos -eq 0' -ka "(__fish_complete_path (commandline -ct))" -d 'the goal file (YAML)'
complete -c barwright -n '_shtab_barwright_using; and test $_shtab_barwright_npos -eq 0' -a feasible -d 'only whether there is a blend, and if not, which goals clash'
complete -c barwright -n '_shtab_barwright_using feasible' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using feasible' -l full -d 'tell all that there is to tell'
complete -c barwright -n '_shtab_barwright_using feasible' -l shelf -xka "(__fish_complete_path (commandline -ct))" -d 'use this shelf in place of the file'"'"'s'
complete -c barwright -n '_shtab_barwright_using feasible' -l near -xka "(__fish_complete_path (commandline -ct))" -d 'stay as near as can be to this recipe in hand'
complete -c barwright -n '_shtab_barwright_using feasible' -l json -d 'one JSON document on stdout, faults of the files too'
complete -c barwright -n '_shtab_barwright_using feasible' -l no-color -l no-colour -d 'plain text'
complete -c barwright -n '_shtab_barwright_using feasible; and test $_shtab_barwright_npos -eq 0' -ka "(__fish_complete_path (commandline -ct))" -d 'the goal file (YAML)'
complete -c barwright -n '_shtab_barwright_using; and test $_shtab_barwright_npos -eq 0' -a reach -d 'for each figure, the room that the other goals leave'
complete -c barwright -n '_shtab_barwright_using reach' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using reach' -l full -d 'tell all that there is to tell'
complete -c barwright -n '_shtab_barwright_using reach' -l shelf -xka "(__fish_complete_path (commandline -ct))" -d 'use this shelf in place of the file'"'"'s'
complete -c barwright -n '_shtab_barwright_using reach' -l near -xka "(__fish_complete_path (commandline -ct))" -d 'stay as near as can be to this recipe in hand'
complete -c barwright -n '_shtab_barwright_using reach' -l json -d 'one JSON document on stdout, faults of the files too'
complete -c barwright -n '_shtab_barwright_using reach' -l no-color -l no-colour -d 'plain text'
complete -c barwright -n '_shtab_barwright_using reach; and test $_shtab_barwright_npos -eq 0' -ka "(__fish_complete_path (commandline -ct))" -d 'the goal file (YAML)'
complete -c barwright -n '_shtab_barwright_using; and test $_shtab_barwright_npos -eq 0' -a weigh -d 'a recipe in hand: alkali, water, measures, cost'
complete -c barwright -n '_shtab_barwright_using weigh' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using weigh' -l steps -d 'tell the making steps too'
complete -c barwright -n '_shtab_barwright_using weigh' -l against -xka "(__fish_complete_path (commandline -ct))" -d 'judge it against a goal file'
complete -c barwright -n '_shtab_barwright_using weigh' -l full -d 'tell all that there is to tell'
complete -c barwright -n '_shtab_barwright_using weigh' -l json -d 'one JSON document on stdout, faults of the files too'
complete -c barwright -n '_shtab_barwright_using weigh' -l no-color -l no-colour -d 'plain text'
complete -c barwright -n '_shtab_barwright_using weigh' -l shelf -xka "(__fish_complete_path (commandline -ct))" -d 'a shelf for prices, lots and purities'
complete -c barwright -n '_shtab_barwright_using weigh; and test $_shtab_barwright_npos -eq 0' -ka "(__fish_complete_path (commandline -ct))" -d 'the recipe file (YAML)'
complete -c barwright -n '_shtab_barwright_using; and test $_shtab_barwright_npos -eq 0' -a swap -d 'what to use in place of fats that ran out of a recipe'
complete -c barwright -n '_shtab_barwright_using swap' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using swap' -l out -x -d 'what ran out, a name of two words in quotes'
complete -c barwright -n '_shtab_barwright_using swap' -l keep -x -d 'what stays at its share'
complete -c barwright -n '_shtab_barwright_using swap' -l against -xka "(__fish_complete_path (commandline -ct))" -d 'goals for the cheapest, not the old bar'"'"'s figures'
complete -c barwright -n '_shtab_barwright_using swap' -l save -x -d 'also write answer N as a recipe file'
complete -c barwright -n '_shtab_barwright_using swap' -l force -d 'let --save write over a file'
complete -c barwright -n '_shtab_barwright_using swap' -l full -d 'tell all that there is to tell'
complete -c barwright -n '_shtab_barwright_using swap' -l json -d 'one JSON document on stdout, faults of the files too'
complete -c barwright -n '_shtab_barwright_using swap' -l no-color -l no-colour -d 'plain text'
complete -c barwright -n '_shtab_barwright_using swap' -l shelf -xka "(__fish_complete_path (commandline -ct))" -d 'what there is; else the nearest inventory'
complete -c barwright -n '_shtab_barwright_using swap; and test $_shtab_barwright_npos -eq 0' -ka "(__fish_complete_path (commandline -ct))" -d 'the recipe file (YAML)'
complete -c barwright -n '_shtab_barwright_using; and test $_shtab_barwright_npos -eq 0' -a fats -d 'the fats of the reference table, or one of them with its sources'
complete -c barwright -n '_shtab_barwright_using fats' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using fats' -l json -d 'one JSON document on stdout, faults of the files too'
complete -c barwright -n '_shtab_barwright_using fats' -l no-color -l no-colour -d 'plain text'
complete -c barwright -n '_shtab_barwright_using; and test $_shtab_barwright_npos -eq 0' -a additives -d 'the additives and what stands for water, or one of them with its sources'
complete -c barwright -n '_shtab_barwright_using additives' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using additives' -l json -d 'one JSON document on stdout, faults of the files too'
complete -c barwright -n '_shtab_barwright_using additives' -l no-color -l no-colour -d 'plain text'
complete -c barwright -n '_shtab_barwright_using; and test $_shtab_barwright_npos -eq 0' -a designs -d 'what each design asks of the batter, and whom a bar may be for'
complete -c barwright -n '_shtab_barwright_using designs' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using designs' -l json -d 'one JSON document on stdout, faults of the files too'
complete -c barwright -n '_shtab_barwright_using designs' -l no-color -l no-colour -d 'plain text'
complete -c barwright -n '_shtab_barwright_using; and test $_shtab_barwright_npos -eq 0' -a measures -d 'the measures of a bar, what may be a goal, and the house practice'
complete -c barwright -n '_shtab_barwright_using measures' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using measures' -l json -d 'one JSON document on stdout, faults of the files too'
complete -c barwright -n '_shtab_barwright_using measures' -l no-color -l no-colour -d 'plain text'
complete -c barwright -n '_shtab_barwright_using; and test $_shtab_barwright_npos -eq 0' -a explain -d 'what the code at the end of a fault or warning means, and what to do'
complete -c barwright -n '_shtab_barwright_using explain' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using explain' -l json -d 'one JSON document on stdout, faults of the files too'
complete -c barwright -n '_shtab_barwright_using explain' -l no-color -l no-colour -d 'plain text'
complete -c barwright -n '_shtab_barwright_using explain; and test $_shtab_barwright_npos -ge 0' -ka "above-usual after-quote alias-cycle backslash bad-currency bad-path borrowed-figures cannot-write coarse-balance comma contradiction dangling-link empty-file file-exists file-in-use folder folder-in-use glued-colon glued-dash greater-than implausible-saponification indent lye-heavy measures-unknown merge-key missing-colon missing-column missing-comma missing-key needs-certificate no-date no-fats no-figure no-folder no-plain-file no-reading no-recipe no-scale no-such-file no-trials no-unit no-value not-a-figure not-a-lever not-a-switch not-on-the-shelf not-text not-utf-8 not-whole not-yaml odd-key odd-price odd-time odd-tolerance open-band open-bracket open-quote only-at-least other-currency out-of-range range repeated-key repeated-name reserved-mark second-colon several-documents share-or-fraction stray-bracket tab tag taken-name too-deep too-large too-long too-many-aliases too-many-cells too-many-entries too-much unknown-additive unknown-alias unknown-alkali unknown-code unknown-column unknown-design unknown-fat unknown-item unknown-key unknown-kind unknown-lever unknown-liquid unknown-measure unknown-rule unknown-tag unknown-user unknown-word unreadable untold-fat usage which-shelf wrong-file wrong-name wrong-shape wrong-slope wrong-suffix wrong-unit lye" -d 'as in unknown-fat; all of them without it; lye for handling alkali and first aid'
complete -c barwright -n '_shtab_barwright_using; and test $_shtab_barwright_npos -eq 0' -a trial -d 'what happened at the bench, and your own scales from it'
complete -c barwright -n '_shtab_barwright_using trial' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using trial; and test $_shtab_barwright_npos -eq 0' -a add -d 'record what happened when a recipe was made'
complete -c barwright -n '_shtab_barwright_using trial add' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using trial add' -l folder -xka "(__fish_complete_directories)" -d 'where the trials lie'
complete -c barwright -n '_shtab_barwright_using trial add' -l json -d 'one JSON document on stdout, faults of the files too'
complete -c barwright -n '_shtab_barwright_using trial add' -l no-color -l no-colour -d 'plain text'
complete -c barwright -n '_shtab_barwright_using trial add' -l trace -x -d 'time to trace, of the blender or by the clock but always the same, as in "1 min 30 s"'
complete -c barwright -n '_shtab_barwright_using trial add' -l unmould -x -d 'time from pouring to a clean cut, as in "20 h"'
complete -c barwright -n '_shtab_barwright_using trial add' -l hardness -x -d 'a reading off your own instrument, as in 41'
complete -c barwright -n '_shtab_barwright_using trial add' -l hardness-unit -x -d 'its scale, as in "Shore D"'
complete -c barwright -n '_shtab_barwright_using trial add' -l ash -xka "yes no" -d 'whether soda ash was seen'
complete -c barwright -n '_shtab_barwright_using trial add' -l note -x -d 'anything else; may be given again'
complete -c barwright -n '_shtab_barwright_using trial add' -l date -x -d 'the day it was made, as in 2026-11-25'
complete -c barwright -n '_shtab_barwright_using trial add' -l link -d 'name the recipe'"'"'s file in place of copying the recipe'
complete -c barwright -n '_shtab_barwright_using trial add; and test $_shtab_barwright_npos -eq 0' -ka "(__fish_complete_path (commandline -ct))" -d 'the recipe file that was made'
complete -c barwright -n '_shtab_barwright_using trial; and test $_shtab_barwright_npos -eq 0' -a list -d 'the trials of a folder, readings beside indices'
complete -c barwright -n '_shtab_barwright_using trial list' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using trial list' -l folder -xka "(__fish_complete_directories)" -d 'where the trials lie'
complete -c barwright -n '_shtab_barwright_using trial list' -l json -d 'one JSON document on stdout, faults of the files too'
complete -c barwright -n '_shtab_barwright_using trial list' -l no-color -l no-colour -d 'plain text'
complete -c barwright -n '_shtab_barwright_using trial; and test $_shtab_barwright_npos -eq 0' -a fit -d 'fit your own scales, so that goals can be written in minutes, hours or readings'
complete -c barwright -n '_shtab_barwright_using trial fit' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using trial fit' -l folder -xka "(__fish_complete_directories)" -d 'where the trials lie'
complete -c barwright -n '_shtab_barwright_using trial fit' -l json -d 'one JSON document on stdout, faults of the files too'
complete -c barwright -n '_shtab_barwright_using trial fit' -l no-color -l no-colour -d 'plain text'
complete -c barwright -n '_shtab_barwright_using trial fit' -l save -d 'write the scales that can be used to scales.yaml in the folder'
complete -c barwright -n '_shtab_barwright_using; and test $_shtab_barwright_npos -eq 0' -a schema -d 'JSON Schema of the files, for editors'
complete -c barwright -n '_shtab_barwright_using schema' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using schema' -l shelf -xka "(__fish_complete_path (commandline -ct))" -d 'let the schema know this shelf'"'"'s own fats too'
complete -c barwright -n '_shtab_barwright_using schema; and test $_shtab_barwright_npos -eq 0' -ka "goals shelf recipe designs" -d kind
complete -c barwright -n '_shtab_barwright_using; and test $_shtab_barwright_npos -eq 0' -a completion -d 'what lets a shell complete commands, options and paths'
complete -c barwright -n '_shtab_barwright_using completion' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using completion; and test $_shtab_barwright_npos -eq 0' -ka "bash zsh fish" -d 'bash, zsh or fish; the README says where to put it'
complete -c barwright -n '_shtab_barwright_using; and test $_shtab_barwright_npos -eq 0' -a new -d 'a folder to start from: goals, a shelf, editor settings'
complete -c barwright -n '_shtab_barwright_using new' -s h -l help -d 'show this help message and exit'
complete -c barwright -n '_shtab_barwright_using new; and test $_shtab_barwright_npos -eq 0' -ka "(__fish_complete_directories)" -d FOLDER
