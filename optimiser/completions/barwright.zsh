#compdef barwright
# Completions of barwright for zsh, printed by: barwright completion zsh
# Written by tests/tools/completions.py from the command line's own parser; do not edit.
# The functions below are from the templates of shtab (Apache License 2.0).

_shtab_barwright_commands() {
  local _commands=(
    additives:'the additives and what stands for water, or one of them with its sources'
    batch:'what was made, from which lots; which bars hold a lot'
    blend:'the cheapest blend that meets the goals, or why there is none'
    choices:'a few blends nearly as cheap as the cheapest, as different as can be'
    compare:'two to five recipes or goal files side by side'
    completion:'what lets a shell complete commands, options and paths'
    designs:'what each design asks of the batter, and whom a bar may be for'
    explain:'what the code at the end of a fault or warning means, and what to do'
    fats:'the fats of the reference table, or one of them with its sources'
    feasible:'only whether there is a blend, and if not, which goals clash'
    label:'lists of ingredients by INCI, allergens of scents, net weight'
    measures:'the measures of a bar, what may be a goal, and the house practice'
    new:'a folder to start from: goals, a shelf, editor settings'
    page:'a local page in the browser, where goals are dragged and the room is seen'
    plan:'several bars over one shelf: what to make from what, what to buy'
    reach:'for each figure, the room that the other goals leave'
    resize:'the same recipe for another batch, its alkali worked out again'
    schema:'JSON Schema of the files, for editors'
    sheet:'a making sheet for the bench, of a goal file or a recipe: one page to print'
    swap:'what to use in place of fats that ran out of a recipe'
    sweep:'bars over thousands of price scenarios'
    tradeoff:'what a limit costs, over all that it could be: a curve with its breakpoints'
    trial:'what happened at the bench, and your own scales from it'
    weigh:'a recipe in hand: alkali, water, measures, cost'
  )
  _describe 'barwright commands' _commands
}

_shtab_barwright_batch_commands() {
  local _commands=(
    add:'record a batch that was made: its recipe as weighed out, and its lots'
    export:'the whole record as JSON lines, or what was seen of its batches as trials'
    import:'bring trials, or what '"'"'batch export'"'"' wrote, into the record'
    list:'every batch, the oldest first'
    lot:'tell of a lot: what it is, what it was made from, what came of it, what is left'
    note:'record what was seen of a batch'
    recall:'which batches hold a lot; or which lots are in a batch'
    ship:'record bars that went to somebody'
    show:'one batch with all that is known of it'
    stock:'what is left of every lot'
    tell:'tell of a recorded batch which lots went in of what had none'
  )
  _describe 'barwright batch commands' _commands
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

_shtab_barwright_batch_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
)

_shtab_barwright_batch_defaults_added=0

_shtab_barwright_batch_add_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--store[the record\; without it records\/barwright.sqlite of this workspace]:FILE:_files"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "*--lot[a lot that went in, as in \"coconut oil\=CO-2291\"\; where several share, each but one with its mass, as in \"coconut oil\=CO-2291\=300 g\"\; may be given again]:FAT=LOT:"
  "--lots-of-shelf[take the shelf\'s lot of every fat of which none is told]"
  "--made[the day, as in 2026-11-03\; today without it]:DATE:"
  "--id[what stands on the bars\; the day and a number without it]:ID:"
  "--bars[how many bars came out]:N:"
  "--draw-down[take what went in from the stock of its lots]"
  "--shelf[use this shelf in place of the recipe\'s]:PATH:_files"
  ":the recipe file that was made:_files"
)

_shtab_barwright_batch_add_defaults_added=0

_shtab_barwright_batch_export_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--store[the record\; without it records\/barwright.sqlite of this workspace]:FILE:_files"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--trials[write a trial file for each reading instead]:FOLDER:_files -/"
)

_shtab_barwright_batch_export_defaults_added=0

_shtab_barwright_batch_import_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--store[the record\; without it records\/barwright.sqlite of this workspace]:FILE:_files"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  ":a folder of trials, or a file of JSON lines:_files"
)

_shtab_barwright_batch_import_defaults_added=0

_shtab_barwright_batch_list_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--store[the record\; without it records\/barwright.sqlite of this workspace]:FILE:_files"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
)

_shtab_barwright_batch_list_defaults_added=0

_shtab_barwright_batch_lot_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--store[the record\; without it records\/barwright.sqlite of this workspace]:FILE:_files"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--of[what it is, as recipes name it]:FAT:"
  "*--from[a lot that it was made from, as in \"olive oil\=OL-311\" or \"olive oil\=OL-311\=2 kg\"\; may be given again]:FAT=LOT:"
  "--received[how much of it came, or was made, as in 18 kg]:MASS:"
  "--counted[how much of it there is now, by the scale]:MASS:"
  "--best-before[the day up to which it keeps]:DATE:"
  "--on[the day of it\; today without it]:DATE:"
  ":the lot\'s number:"
)

_shtab_barwright_batch_lot_defaults_added=0

_shtab_barwright_batch_note_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--store[the record\; without it records\/barwright.sqlite of this workspace]:FILE:_files"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--trace[time to trace, as in \"1 min 30 s\"]:TIME:"
  "--unmould[time from pouring to a clean cut, as in \"20 h\"]:TIME:"
  "--hardness[a reading off your own instrument, as in 41]:READING:"
  "--hardness-unit[its scale, as in \"Shore D\"]:UNIT:"
  "--ash[whether soda ash was seen]:ash:(yes no)"
  "*--note[anything else\; may be given again]:TEXT:"
  "--date[the day it was seen]:DATE:"
  ":the batch\'s id, as \'batch list\' has it:"
)

_shtab_barwright_batch_note_defaults_added=0

_shtab_barwright_batch_recall_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--store[the record\; without it records\/barwright.sqlite of this workspace]:FILE:_files"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--lot[a lot\'s number\: every batch with it, or with what was made from it]:LOT:"
  "--batch[a batch\: every lot in it, back to what infusions were made from]:ID:"
)

_shtab_barwright_batch_recall_defaults_added=0

_shtab_barwright_batch_ship_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--store[the record\; without it records\/barwright.sqlite of this workspace]:FILE:_files"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--bars[how many]:N:"
  "--to[to whom they went]:WHOM:"
  "--on[the day of it\; today without it]:DATE:"
  ":the batch\'s id, as \'batch list\' has it:"
)

_shtab_barwright_batch_ship_defaults_added=0

_shtab_barwright_batch_show_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--store[the record\; without it records\/barwright.sqlite of this workspace]:FILE:_files"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--recipe[print the recipe as it was weighed out, and nothing else]"
  ":the batch\'s id, as \'batch list\' has it:"
)

_shtab_barwright_batch_show_defaults_added=0

_shtab_barwright_batch_stock_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--store[the record\; without it records\/barwright.sqlite of this workspace]:FILE:_files"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
)

_shtab_barwright_batch_stock_defaults_added=0

_shtab_barwright_batch_tell_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--store[the record\; without it records\/barwright.sqlite of this workspace]:FILE:_files"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "*--lot[a lot that went in\; may be given again]:FAT=LOT:"
  "--draw-down[take what went in from the stock of these lots]"
  ":the batch\'s id, as \'batch list\' has it:"
)

_shtab_barwright_batch_tell_defaults_added=0

_shtab_barwright_blend_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--full[tell all that there is to tell]"
  "--shelf[use this shelf in place of the file\'s]:PATH:_files"
  "--near[stay as near as can be to this recipe in hand]:RECIPE:_files"
  "--on[the day by which lots are in date, as in 2026-11-28\; else today]:DATE:"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--save[also write the recipe, rounded for the balance]:FILE:_files"
  "--watch[answer anew whenever the goals or the shelf are saved]"
  "--steps[tell the making steps too]"
  "--lp[also write the programme for other solvers (LP format)]:FILE:_files"
  "--force[let --save and --lp write over a file]"
  "--buy[what may be bought, whatever the goals say]:buy:(none packs any)"
  "--units[tell weights in g, kg, oz, lb or \'lb oz\'\; data stay in grams]:UNIT:"
  ":the goal file (YAML):_files"
)

_shtab_barwright_blend_defaults_added=0

_shtab_barwright_choices_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--full[tell all that there is to tell]"
  "--shelf[use this shelf in place of the file\'s]:PATH:_files"
  "--near[stay as near as can be to this recipe in hand]:RECIPE:_files"
  "--on[the day by which lots are in date, as in 2026-11-28\; else today]:DATE:"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--within[how much dearer\: 5\%, or 0.30 \/ kg (lb, bar)]:FIGURE:"
  "--count[how many, the cheapest among them (2 to 6)]:N:"
  "--save[also write the recipe of one of them]:('N', 'FILE'):"
  "--force[let --save write over a file]"
  "--units[tell weights in g, kg, oz, lb or \'lb oz\'\; data stay in grams]:UNIT:"
  ":the goal file (YAML):_files"
)

_shtab_barwright_choices_defaults_added=0

_shtab_barwright_compare_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--shelf[use this shelf in place of the files\' own]:PATH:_files"
  "--units[tell weights in g, kg, oz, lb or \'lb oz\'\; data stay in grams]:UNIT:"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "(*):two to five recipes or goal files (YAML):_files"
)

_shtab_barwright_compare_defaults_added=0

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
  "(*)::as in unknown-fat\; all of them without it\; lye for handling alkali and first aid:(above-usual after-quote alias-cycle backslash bad-currency bad-path bad-record borrowed-figures busy-record cannot-write changed-sweep coarse-balance comma contradiction dangling-link empty-file expired-lot file-exists file-in-use folder folder-in-use glued-colon glued-dash greater-than implausible-saponification indent lot-not-on-shelf lye-heavy measures-unknown merge-key missing-colon missing-column missing-comma missing-key needs-certificate newer-record no-cluster no-date no-fats no-figure no-folder no-plain-file no-reading no-recipe no-record no-scale no-such-file no-sweep no-trials no-unit no-value not-a-figure not-a-lever not-a-switch not-in-recipe not-on-the-shelf not-text not-utf-8 not-whole not-yaml odd-key odd-order odd-price odd-time odd-tolerance open-band open-bracket open-quote only-at-least other-currency other-material out-of-range past-best-before range repeated-key repeated-name reserved-mark second-colon several-documents several-records shared-folder share-or-fraction stray-bracket tab tag taken-batch taken-name too-deep too-large too-long too-many-aliases too-many-cells too-many-entries too-much unknown-additive unknown-alias unknown-alkali unknown-batch unknown-code unknown-column unknown-design unknown-fat unknown-item unknown-key unknown-kind unknown-lever unknown-liquid unknown-lot unknown-measure unknown-rule unknown-tag unknown-user unknown-word unreadable untold-fat usage which-shelf wrong-file wrong-name wrong-shape wrong-slope wrong-suffix wrong-unit lye)"
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
  "--on[the day by which lots are in date, as in 2026-11-28\; else today]:DATE:"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  ":the goal file (YAML):_files"
)

_shtab_barwright_feasible_defaults_added=0

_shtab_barwright_label_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--shelf[use this shelf in place of the file\'s own]:PATH:_files"
  "--on[the day by which lots are in date, as in 2026-11-28\; else today]:DATE:"
  "--units[tell weights in g, kg, oz, lb or \'lb oz\'\; data stay in grams]:UNIT:"
  "--full[tell all that there is to tell]"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  ":a recipe or a goal file (YAML):_files"
)

_shtab_barwright_label_defaults_added=0

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

_shtab_barwright_page_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--port[of this machine\; any that is free without it]:N:"
  "--no-open[only tell the address, open no browser]"
  ":the goal file\; without it, a new one:_files"
)

_shtab_barwright_page_defaults_added=0

_shtab_barwright_plan_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--shelf[use this shelf in place of the plan\'s]:PATH:_files"
  "--on[the day by which lots are in date, as in 2026-11-28\; else today]:DATE:"
  "--steps[tell the making steps of each bar too]"
  "--save[also write a recipe for each bar into this folder]:FOLDER:_files -/"
  "--force[let --save write over files]"
  "--full[tell all that there is to tell]"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--units[tell weights in g, kg, oz, lb or \'lb oz\'\; data stay in grams]:UNIT:"
  ":the plan file (YAML):"
)

_shtab_barwright_plan_defaults_added=0

_shtab_barwright_reach_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--full[tell all that there is to tell]"
  "--shelf[use this shelf in place of the file\'s]:PATH:_files"
  "--near[stay as near as can be to this recipe in hand]:RECIPE:_files"
  "--on[the day by which lots are in date, as in 2026-11-28\; else today]:DATE:"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  ":the goal file (YAML):_files"
)

_shtab_barwright_reach_defaults_added=0

_shtab_barwright_resize_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--to[as in \'24 bars of 110 g\', \'2.5 kg fats\', \'4 kg batter\', \'mould 30 x 9 x 7 cm\']:BATCH:"
  "--save[also write the recipe, rounded for the balance]:FILE:_files"
  "--force[let --save write over a file]"
  "--steps[tell the making steps too]"
  "--shelf[a shelf for prices, lots and purities]:PATH:_files"
  "--units[tell weights in g, kg, oz, lb or \'lb oz\'\; data stay in grams]:UNIT:"
  "--full[tell all that there is to tell]"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  ":the recipe file (YAML):_files"
)

_shtab_barwright_resize_defaults_added=0

_shtab_barwright_schema_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--shelf[let the schema know this shelf\'s own fats too]:PATH:_files"
  ":kind:(goals shelf recipe designs plan prices)"
)

_shtab_barwright_schema_defaults_added=0

_shtab_barwright_sheet_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  {-o,--out}"[the page to write (HTML)\: open it and print it]:FILE:_files"
  "--pdf[also, or instead, a PDF\; needs the extra \'pdf\']:FILE:_files"
  "--paper[of the PDF\; else A4, or Letter where weights are in ounces]:paper:(a4 letter)"
  "--made[the day it is made, as in 2026-11-28, by which lots are in date\; for the cure calendar too]:DATE:"
  "--number[the batch\'s number, for every page]:TEXT:"
  "--both[tell grams and ounces side by side]"
  "--force[let -o and --pdf write over a file]"
  "--shelf[use this shelf in place of the file\'s own]:PATH:_files"
  "--units[tell weights in g, kg, oz, lb or \'lb oz\'\; data stay in grams]:UNIT:"
  "--full[tell all that there is to tell]"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  ":a goal file or a recipe (YAML):_files"
)

_shtab_barwright_sheet_defaults_added=0

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
  "--units[tell weights in g, kg, oz, lb or \'lb oz\'\; data stay in grams]:UNIT:"
  ":the recipe file (YAML):_files"
)

_shtab_barwright_swap_defaults_added=0

_shtab_barwright_sweep_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--prices[a history (CSV), or shocks or a spread (YAML)]:FILE:_files"
  "--shelf[use this shelf in place of the files\']:PATH:_files"
  "--others[what prices without a column do (follow)]:others:(follow stay)"
  "--today[which row of a history stands for today\'s shelf (the last)]:ROW:"
  "--scenarios[how many are drawn of a spread]:N:"
  "--seed[draw other scenarios of the same spread]:N:"
  "--workers[processes of this machine (its cores)]:N:"
  "--on[a Dask scheduler, as in localhost\:8786]:ADDRESS:"
  "--keep[keep what is done, to be gone on with]:FOLDER:_files -/"
  "--resume[go on with what --keep has kept]"
  "--svg[also write the charts (SVG)]:FILE:_files"
  "--table[also write every scenario (.csv, or .parquet with pyarrow)]:FILE:_files"
  "--force[let --svg and --table write over a file]"
  "--full[tell all that there is to tell]"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "(*):goal files (YAML), one for each bar:_files"
)

_shtab_barwright_sweep_defaults_added=0

_shtab_barwright_tradeoff_options=(
  "(- : *)"{-h,--help}"[show this help message and exit]"
  "--full[tell all that there is to tell]"
  "--shelf[use this shelf in place of the file\'s]:PATH:_files"
  "--near[stay as near as can be to this recipe in hand]:RECIPE:_files"
  "--on[the day by which lots are in date, as in 2026-11-28\; else today]:DATE:"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
  "--of[what the limit is on\: hardness, superfat, palm oil]:KEY:"
  "--side[which side, where the file has none of it or both]:side:(at_least at_most)"
  "--from[the first limit]:X:"
  "--to[the last limit]:Y:"
  "--and[a second limit\: the costs of both as a grid]:KEY:"
  "--and-side[which side of the second]:also_side:(at_least at_most)"
  "--svg[also write the chart (SVG)]:FILE:_files"
  "--force[let --svg write over a file]"
  ":the goal file (YAML):_files"
)

_shtab_barwright_tradeoff_defaults_added=0

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
  "--shelf[a shelf for prices, lots and purities]:PATH:_files"
  "--on[the day by which lots are in date, as in 2026-11-28\; else today]:DATE:"
  "--units[tell weights in g, kg, oz, lb or \'lb oz\'\; data stay in grams]:UNIT:"
  "--full[tell all that there is to tell]"
  "--json[one JSON document on stdout, faults of the files too]"
  {--no-color,--no-colour}"[plain text]"
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
        batch) _shtab_barwright_batch ;;
        blend) _arguments -C -s $_shtab_barwright_blend_options ;;
        choices) _arguments -C -s $_shtab_barwright_choices_options ;;
        compare) _arguments -C -s $_shtab_barwright_compare_options ;;
        completion) _arguments -C -s $_shtab_barwright_completion_options ;;
        designs) _arguments -C -s $_shtab_barwright_designs_options ;;
        explain) _arguments -C -s $_shtab_barwright_explain_options ;;
        fats) _arguments -C -s $_shtab_barwright_fats_options ;;
        feasible) _arguments -C -s $_shtab_barwright_feasible_options ;;
        label) _arguments -C -s $_shtab_barwright_label_options ;;
        measures) _arguments -C -s $_shtab_barwright_measures_options ;;
        new) _arguments -C -s $_shtab_barwright_new_options ;;
        page) _arguments -C -s $_shtab_barwright_page_options ;;
        plan) _arguments -C -s $_shtab_barwright_plan_options ;;
        reach) _arguments -C -s $_shtab_barwright_reach_options ;;
        resize) _arguments -C -s $_shtab_barwright_resize_options ;;
        schema) _arguments -C -s $_shtab_barwright_schema_options ;;
        sheet) _arguments -C -s $_shtab_barwright_sheet_options ;;
        swap) _arguments -C -s $_shtab_barwright_swap_options ;;
        sweep) _arguments -C -s $_shtab_barwright_sweep_options ;;
        tradeoff) _arguments -C -s $_shtab_barwright_tradeoff_options ;;
        trial) _shtab_barwright_trial ;;
        weigh) _arguments -C -s $_shtab_barwright_weigh_options ;;
      esac
  esac
}

_shtab_barwright_batch() {
  local context state line curcontext="$curcontext" one_or_more='(*)' remainder='(-)*:' default='*::: :->batch'

  if (( ! _shtab_barwright_batch_defaults_added )); then
    if (( ${_shtab_barwright_batch_options[(I)${(q)one_or_more}*]} +          ${_shtab_barwright_batch_options[(I)${(q)remainder}*]} +          ${_shtab_barwright_batch_options[(I)${(q)default}]} == 0 )); then
      _shtab_barwright_batch_options+=(': :_shtab_barwright_batch_commands' '*::: :->batch')
    fi
    _shtab_barwright_batch_defaults_added=1
  fi
  _arguments -C -s $_shtab_barwright_batch_options

  case $state in
    batch)
      words=($line[1] "${words[@]}")
      (( CURRENT += 1 ))
      curcontext="${curcontext%:*:*}:_shtab_barwright_batch-$line[1]:"
      case $line[1] in
        add) _arguments -C -s $_shtab_barwright_batch_add_options ;;
        export) _arguments -C -s $_shtab_barwright_batch_export_options ;;
        import) _arguments -C -s $_shtab_barwright_batch_import_options ;;
        list) _arguments -C -s $_shtab_barwright_batch_list_options ;;
        lot) _arguments -C -s $_shtab_barwright_batch_lot_options ;;
        note) _arguments -C -s $_shtab_barwright_batch_note_options ;;
        recall) _arguments -C -s $_shtab_barwright_batch_recall_options ;;
        ship) _arguments -C -s $_shtab_barwright_batch_ship_options ;;
        show) _arguments -C -s $_shtab_barwright_batch_show_options ;;
        stock) _arguments -C -s $_shtab_barwright_batch_stock_options ;;
        tell) _arguments -C -s $_shtab_barwright_batch_tell_options ;;
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
