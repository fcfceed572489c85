#compdef barwright
# Completions of barwright for zsh, printed by: barwright completion zsh
# Written by tests/tools/completions.py from the command line's own parser; do not edit.
# The functions below are from the templates of shtab (Apache License 2.0).

_shtab_barwright_commands() {
  local _commands=(
    additives:'the additives and what stands for water, or one of them with its sources'
    blend:'the cheapest blend that meets the goals, or why there is none'
    completion:'what lets a shell complete commands, options and paths'
    designs:'what each design asks of the batter, and whom a bar may be for'
    explain:'what the code at the end of a fault or warning means, and what to do'
    fats:'the fats of the reference table, or one of them with its sources'
    feasible:'only whether there is a blend, and if not, which goals clash'
    measures:'the measures of a bar, what may be a goal, and the house practice'
    new:'a folder to start from: goals, a shelf, editor settings'
    reach:'for each figure, the room that the other goals leave'
    schema:'JSON Schema of the files, for editors'
    swap:'what to use in place of fats that ran out of a recipe'
    trial:'what happened at the bench, and your own scales from it'
    weigh:'a recipe in hand: alkali, water, measures, cost'
  )
  _describe 'barwright commands' _commands
}

_shtab_barwright_trial_commands() {
  local _commands=(
    add:'record what happened when a recipe was made'
    fit:'fit your own scales, so that goals can be written in minutes, hours or readings'
    list:'the trials of a folder, readings beside indices'
  )
  _describe 'barwright trial commands' _commands
}

_shtab_barwright_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--version[name and version, and stop]"
)

_shtab_barwright_defaults_added=0

_shtab_barwright_additives_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  ":an additive or a liquid, by any of its names:"
)

_shtab_barwright_additives_defaults_added=0

_shtab_barwright_blend_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--full[tell all that there is to tell]"
  "--shelf[use this shelf in place of the file\'s]:PATH:_files"
  "--near[stay as near as can be to this recipe in hand]:RECIPE:_files"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--save[also write the recipe, rounded for the balance]:FILE:_files"
  "--watch[answer anew whenever the goals or the shelf are saved]"
  "--steps[tell the making steps too]"
  "--lp[also write the programme for other solvers (LP format)]:FILE:_files"
  "--force[let --save and --lp write over a file]"
  ":the goal file (YAML):_files"
)

_shtab_barwright_blend_defaults_added=0

_shtab_barwright_completion_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  ":bash, zsh or fish\; the README says where to put it:(bash zsh fish)"
)

_shtab_barwright_completion_defaults_added=0

_shtab_barwright_designs_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  ":a design or a user, by any of its names:"
)

_shtab_barwright_designs_defaults_added=0

_shtab_barwright_explain_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "(*)::as in unknown-fat\; all of them without it\; lye for handling alkali and first aid:(above-usual after-quote alias-cycle backslash bad-currency bad-path borrowed-figures cannot-write coarse-balance comma contradiction dangling-link empty-file file-exists file-in-use folder folder-in-use glued-colon glued-dash greater-than implausible-saponification indent lye-heavy measures-unknown merge-key missing-colon missing-column missing-comma missing-key needs-certificate no-date no-fats no-figure no-folder no-plain-file no-reading no-recipe no-scale no-such-file no-trials no-unit no-value not-a-figure not-a-lever not-a-switch not-on-the-shelf not-text not-utf-8 not-whole not-yaml odd-key odd-price odd-time odd-tolerance open-band open-bracket open-quote only-at-least other-currency out-of-range range repeated-key repeated-name reserved-mark second-colon several-documents share-or-fraction stray-bracket tab tag taken-name too-deep too-large too-long too-many-aliases too-many-cells too-many-entries too-much unknown-additive unknown-alias unknown-alkali unknown-code unknown-column unknown-design unknown-fat unknown-item unknown-key unknown-kind unknown-lever unknown-liquid unknown-measure unknown-rule unknown-tag unknown-user unknown-word unreadable untold-fat usage which-shelf wrong-file wrong-name wrong-shape wrong-slope wrong-suffix wrong-unit lye)"
)

_shtab_barwright_explain_defaults_added=0

_shtab_barwright_fats_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  ":a fat, by any of its names:"
)

_shtab_barwright_fats_defaults_added=0

_shtab_barwright_feasible_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--full[tell all that there is to tell]"
  "--shelf[use this shelf in place of the file\'s]:PATH:_files"
  "--near[stay as near as can be to this recipe in hand]:RECIPE:_files"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  ":the goal file (YAML):_files"
)

_shtab_barwright_feasible_defaults_added=0

_shtab_barwright_measures_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  ":a measure or figure:"
)

_shtab_barwright_measures_defaults_added=0

_shtab_barwright_new_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  ":FOLDER:_files -/"
)

_shtab_barwright_new_defaults_added=0

_shtab_barwright_reach_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--full[tell all that there is to tell]"
  "--shelf[use this shelf in place of the file\'s]:PATH:_files"
  "--near[stay as near as can be to this recipe in hand]:RECIPE:_files"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  ":the goal file (YAML):_files"
)

_shtab_barwright_reach_defaults_added=0

_shtab_barwright_schema_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--shelf[let the schema know this shelf\'s own fats too]:PATH:_files"
  ":kind:(goals shelf recipe designs)"
)

_shtab_barwright_schema_defaults_added=0

_shtab_barwright_swap_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "*--out[what ran out, a name of two words in quotes]:FAT:"
  "*--keep[what stays at its share]:FAT:"
  "--against[goals for the cheapest, not the old bar\'s figures]:GOALS:_files"
  "--save[also write answer N as a recipe file]:('N', 'FILE'):"
  "--force[let --save write over a file]"
  "--full[tell all that there is to tell]"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--shelf[what there is\; else the nearest inventory]:PATH:_files"
  ":the recipe file (YAML):_files"
)

_shtab_barwright_swap_defaults_added=0

_shtab_barwright_trial_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
)

_shtab_barwright_trial_defaults_added=0

_shtab_barwright_trial_add_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--folder[where the trials lie]:FOLDER:_files -/"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--trace[time to trace, of the blender or by the clock but always the same, as in \"1 min 30 s\"]:TIME:"
  "--unmould[time from pouring to a clean cut, as in \"20 h\"]:TIME:"
  "--hardness[a reading off your own instrument, as in 41]:READING:"
  "--hardness-unit[its scale, as in \"Shore D\"]:UNIT:"
  "--ash[whether soda ash was seen]:ash:(yes no)"
  "*--note[anything else\; may be given again]:TEXT:"
  "--date[the day it was made, as in 2026-11-25]:DAY:"
  "--link[name the recipe\'s file in place of copying the recipe]"
  ":the recipe file that was made:_files"
)

_shtab_barwright_trial_add_defaults_added=0

_shtab_barwright_trial_fit_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--folder[where the trials lie]:FOLDER:_files -/"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--save[write the scales that can be used to scales.yaml in the folder]"
  ":trace_speed, set_up or hardness\; all of them without it:"
)

_shtab_barwright_trial_fit_defaults_added=0

_shtab_barwright_trial_list_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--folder[where the trials lie]:FOLDER:_files -/"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
)

_shtab_barwright_trial_list_defaults_added=0

_shtab_barwright_weigh_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--steps[tell the making steps too]"
  "--against[judge it against a goal file]:GOALS:_files"
  "--full[tell all that there is to tell]"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--shelf[a shelf for prices, lots and purities]:PATH:_files"
  ":the recipe file (YAML):_files"
)

_shtab_barwright_weigh_defaults_added=0

_shtab_barwright() {
  local context state line curcontext="$curcontext" one_or_more='(*)' remainder='(-)*:' default='*::: :->barwright'

  if (( ! _shtab_barwright_defaults_added )); then
    if (( ${_shtab_barwright_options[(I)${(q)one_or_more}*]} +          ${_shtab_barwright_options[(I)${(q)remainder}*]} +          ${_shtab_barwright_options[(I)${(q)default}]} == 0 )); then
      _shtab_barwright_options+=(': :_shtab_barwright_commands' '*::: :->barwright')
    fi
    _shtab_barwright_defaults_added=1
  fi
  _arguments -C -s $_shtab_barwright_options

  case $state in
    barwright)
      words=($line[1] "${words[@]}")
      (( CURRENT += 1 ))
      curcontext="${curcontext%:*:*}:_shtab_barwright-$line[1]:"
      case $line[1] in
        additives) _arguments -C -s $_shtab_barwright_additives_options ;;
        blend) _arguments -C -s $_shtab_barwright_blend_options ;;
        completion) _arguments -C -s $_shtab_barwright_completion_options ;;
        designs) _arguments -C -s $_shtab_barwright_designs_options ;;
        explain) _arguments -C -s $_shtab_barwright_explain_options ;;
        fats) _arguments -C -s $_shtab_barwright_fats_options ;;
        feasible) _arguments -C -s $_shtab_barwright_feasible_options ;;
        measures) _arguments -C -s $_shtab_barwright_measures_options ;;
        new) _arguments -C -s $_shtab_barwright_new_options ;;
        reach) _arguments -C -s $_shtab_barwright_reach_options ;;
        schema) _arguments -C -s $_shtab_barwright_schema_options ;;
        swap) _arguments -C -s $_shtab_barwright_swap_options ;;
        trial) _shtab_barwright_trial ;;
        weigh) _arguments -C -s $_shtab_barwright_weigh_options ;;
      esac
  esac
}

_shtab_barwright_trial() {
  local context state line curcontext="$curcontext" one_or_more='(*)' remainder='(-)*:' default='*::: :->trial'

  if (( ! _shtab_barwright_trial_defaults_added )); then
    if (( ${_shtab_barwright_trial_options[(I)${(q)one_or_more}*]} +          ${_shtab_barwright_trial_options[(I)${(q)remainder}*]} +          ${_shtab_barwright_trial_options[(I)${(q)default}]} == 0 )); then
      _shtab_barwright_trial_options+=(': :_shtab_barwright_trial_commands' '*::: :->trial')
    fi
    _shtab_barwright_trial_defaults_added=1
  fi
  _arguments -C -s $_shtab_barwright_trial_options

  case $state in
    trial)
      words=($line[1] "${words[@]}")
      (( CURRENT += 1 ))
      curcontext="${curcontext%:*:*}:_shtab_barwright_trial-$line[1]:"
      case $line[1] in
        add) _arguments -C -s $_shtab_barwright_trial_add_options ;;
        fit) _arguments -C -s $_shtab_barwright_trial_fit_options ;;
        list) _arguments -C -s $_shtab_barwright_trial_list_options ;;
      esac
  esac
}

typeset -A opt_args

if [[ $zsh_eval_context[-1] == eval ]]; then
  compdef _shtab_barwright -N barwright
else
  _shtab_barwright "$@"
fi
