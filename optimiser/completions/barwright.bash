# Completions of barwright for bash, printed by: barwright completion bash
# Written by tests/tools/completions.py from the command line's own parser; do not edit.
# The functions below are from the templates of shtab (Apache License 2.0).

_shtab_barwright_trial_subparsers=(add list fit)
_shtab_barwright_batch_subparsers=(add list show recall lot tell stock note ship export import)
_shtab_barwright_subparsers=(blend feasible reach tradeoff choices weigh resize compare label sheet plan swap sweep fats additives designs measures explain trial batch page schema completion new)

_shtab_barwright_blend_option_strings=(-h --help --full --shelf --near --on --json --no-color --no-colour --save --watch --steps --lp --force --buy --units)
_shtab_barwright_feasible_option_strings=(-h --help --full --shelf --near --on --json --no-color --no-colour)
_shtab_barwright_reach_option_strings=(-h --help --full --shelf --near --on --json --no-color --no-colour)
_shtab_barwright_tradeoff_option_strings=(-h --help --full --shelf --near --on --json --no-color --no-colour --of --side --from --to --and --and-side --svg --force)
_shtab_barwright_choices_option_strings=(-h --help --full --shelf --near --on --json --no-color --no-colour --within --count --save --force --units)
_shtab_barwright_weigh_option_strings=(-h --help --steps --against --shelf --on --units --full --json --no-color --no-colour)
_shtab_barwright_resize_option_strings=(-h --help --to --save --force --steps --shelf --units --full --json --no-color --no-colour)
_shtab_barwright_compare_option_strings=(-h --help --shelf --units --json --no-color --no-colour)
_shtab_barwright_label_option_strings=(-h --help --shelf --on --units --full --json --no-color --no-colour)
_shtab_barwright_sheet_option_strings=(-h --help -o --out --pdf --paper --made --number --both --force --shelf --units --full --json --no-color --no-colour)
_shtab_barwright_plan_option_strings=(-h --help --shelf --on --steps --save --force --full --json --no-color --no-colour --units)
_shtab_barwright_swap_option_strings=(-h --help --out --keep --against --save --force --full --json --no-color --no-colour --shelf --units)
_shtab_barwright_sweep_option_strings=(-h --help --prices --shelf --others --today --scenarios --seed --workers --on --keep --resume --svg --table --force --full --json --no-color --no-colour)
_shtab_barwright_fats_option_strings=(-h --help --json --no-color --no-colour)
_shtab_barwright_additives_option_strings=(-h --help --json --no-color --no-colour)
_shtab_barwright_designs_option_strings=(-h --help --json --no-color --no-colour)
_shtab_barwright_measures_option_strings=(-h --help --json --no-color --no-colour)
_shtab_barwright_explain_option_strings=(-h --help --json --no-color --no-colour)
_shtab_barwright_trial_add_option_strings=(-h --help --folder --json --no-color --no-colour --trace --unmould --hardness --hardness-unit --ash --note --date --link)
_shtab_barwright_trial_list_option_strings=(-h --help --folder --json --no-color --no-colour)
_shtab_barwright_trial_fit_option_strings=(-h --help --folder --json --no-color --no-colour --save)
_shtab_barwright_trial_option_strings=(-h --help)
_shtab_barwright_batch_add_option_strings=(-h --help --store --json --no-color --no-colour --lot --lots-of-shelf --made --id --bars --draw-down --shelf)
_shtab_barwright_batch_list_option_strings=(-h --help --store --json --no-color --no-colour)
_shtab_barwright_batch_show_option_strings=(-h --help --store --json --no-color --no-colour --recipe)
_shtab_barwright_batch_recall_option_strings=(-h --help --store --json --no-color --no-colour --lot --batch)
_shtab_barwright_batch_lot_option_strings=(-h --help --store --json --no-color --no-colour --of --from --received --counted --best-before --on)
_shtab_barwright_batch_tell_option_strings=(-h --help --store --json --no-color --no-colour --lot --draw-down)
_shtab_barwright_batch_stock_option_strings=(-h --help --store --json --no-color --no-colour)
_shtab_barwright_batch_note_option_strings=(-h --help --store --json --no-color --no-colour --trace --unmould --hardness --hardness-unit --ash --note --date)
_shtab_barwright_batch_ship_option_strings=(-h --help --store --json --no-color --no-colour --bars --to --on)
_shtab_barwright_batch_export_option_strings=(-h --help --store --json --no-color --no-colour --trials)
_shtab_barwright_batch_import_option_strings=(-h --help --store --json --no-color --no-colour)
_shtab_barwright_batch_option_strings=(-h --help)
_shtab_barwright_page_option_strings=(-h --help --port --no-open)
_shtab_barwright_schema_option_strings=(-h --help --shelf)
_shtab_barwright_completion_option_strings=(-h --help)
_shtab_barwright_new_option_strings=(-h --help)
_shtab_barwright_option_strings=(-h --help --version)

_shtab_barwright_blend_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_blend___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_blend___near_COMPGEN=_shtab_compgen_files
_shtab_barwright_blend___save_COMPGEN=_shtab_compgen_files
_shtab_barwright_blend___lp_COMPGEN=_shtab_compgen_files
_shtab_barwright_feasible_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_feasible___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_feasible___near_COMPGEN=_shtab_compgen_files
_shtab_barwright_reach_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_reach___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_reach___near_COMPGEN=_shtab_compgen_files
_shtab_barwright_tradeoff_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_tradeoff___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_tradeoff___near_COMPGEN=_shtab_compgen_files
_shtab_barwright_tradeoff___svg_COMPGEN=_shtab_compgen_files
_shtab_barwright_choices_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_choices___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_choices___near_COMPGEN=_shtab_compgen_files
_shtab_barwright_weigh_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_weigh___against_COMPGEN=_shtab_compgen_files
_shtab_barwright_weigh___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_resize_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_resize___save_COMPGEN=_shtab_compgen_files
_shtab_barwright_resize___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_compare_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_compare___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_label_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_label___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_sheet_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_sheet__o_COMPGEN=_shtab_compgen_files
_shtab_barwright_sheet___out_COMPGEN=_shtab_compgen_files
_shtab_barwright_sheet___pdf_COMPGEN=_shtab_compgen_files
_shtab_barwright_sheet___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_plan___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_plan___save_COMPGEN=_shtab_compgen_dirs
_shtab_barwright_swap_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_swap___against_COMPGEN=_shtab_compgen_files
_shtab_barwright_swap___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_sweep_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_sweep___prices_COMPGEN=_shtab_compgen_files
_shtab_barwright_sweep___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_sweep___keep_COMPGEN=_shtab_compgen_dirs
_shtab_barwright_sweep___svg_COMPGEN=_shtab_compgen_files
_shtab_barwright_sweep___table_COMPGEN=_shtab_compgen_files
_shtab_barwright_trial_add_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_trial_add___folder_COMPGEN=_shtab_compgen_dirs
_shtab_barwright_trial_list___folder_COMPGEN=_shtab_compgen_dirs
_shtab_barwright_trial_fit___folder_COMPGEN=_shtab_compgen_dirs
_shtab_barwright_batch_add_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_batch_add___store_COMPGEN=_shtab_compgen_files
_shtab_barwright_batch_add___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_batch_list___store_COMPGEN=_shtab_compgen_files
_shtab_barwright_batch_show___store_COMPGEN=_shtab_compgen_files
_shtab_barwright_batch_recall___store_COMPGEN=_shtab_compgen_files
_shtab_barwright_batch_lot___store_COMPGEN=_shtab_compgen_files
_shtab_barwright_batch_tell___store_COMPGEN=_shtab_compgen_files
_shtab_barwright_batch_stock___store_COMPGEN=_shtab_compgen_files
_shtab_barwright_batch_note___store_COMPGEN=_shtab_compgen_files
_shtab_barwright_batch_ship___store_COMPGEN=_shtab_compgen_files
_shtab_barwright_batch_export___store_COMPGEN=_shtab_compgen_files
_shtab_barwright_batch_export___trials_COMPGEN=_shtab_compgen_dirs
_shtab_barwright_batch_import_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_batch_import___store_COMPGEN=_shtab_compgen_files
_shtab_barwright_page_pos_0_COMPGEN=_shtab_compgen_files
_shtab_barwright_schema___shelf_COMPGEN=_shtab_compgen_files
_shtab_barwright_new_pos_0_COMPGEN=_shtab_compgen_dirs

_shtab_barwright_blend___buy_choices=(none packs any)
_shtab_barwright_tradeoff___side_choices=(at_least at_most)
_shtab_barwright_tradeoff___and_side_choices=(at_least at_most)
_shtab_barwright_sheet___paper_choices=(a4 letter)
_shtab_barwright_sweep___others_choices=(follow stay)
_shtab_barwright_explain_pos_0_choices=(above-usual after-quote alias-cycle backslash bad-currency bad-path bad-record borrowed-figures busy-record cannot-write changed-sweep coarse-balance comma contradiction dangling-link empty-file expired-lot file-exists file-in-use folder folder-in-use glued-colon glued-dash greater-than implausible-saponification indent lot-not-on-shelf lye-heavy measures-unknown merge-key missing-colon missing-column missing-comma missing-key needs-certificate newer-record no-cluster no-date no-fats no-figure no-folder no-plain-file no-reading no-recipe no-record no-scale no-such-file no-sweep no-trials no-unit no-value not-a-figure not-a-lever not-a-switch not-in-recipe not-on-the-shelf not-text not-utf-8 not-whole not-yaml odd-key odd-order odd-price odd-time odd-tolerance open-band open-bracket open-quote only-at-least other-currency other-material out-of-range past-best-before range repeated-key repeated-name reserved-mark second-colon several-documents several-records shared-folder share-or-fraction stray-bracket tab tag taken-batch taken-name too-deep too-large too-long too-many-aliases too-many-cells too-many-entries too-much unknown-additive unknown-alias unknown-alkali unknown-batch unknown-code unknown-column unknown-design unknown-fat unknown-item unknown-key unknown-kind unknown-lever unknown-liquid unknown-lot unknown-measure unknown-rule unknown-tag unknown-user unknown-word unreadable untold-fat usage which-shelf wrong-file wrong-name wrong-shape wrong-slope wrong-suffix wrong-unit lye)
_shtab_barwright_trial_add___ash_choices=(yes no)
_shtab_barwright_trial_pos_0_choices=(add list fit)
_shtab_barwright_batch_note___ash_choices=(yes no)
_shtab_barwright_batch_pos_0_choices=(add list show recall lot tell stock note ship export import)
_shtab_barwright_schema_pos_0_choices=(goals shelf recipe designs plan prices)
_shtab_barwright_completion_pos_0_choices=(bash zsh fish)
_shtab_barwright_pos_0_choices=(blend feasible reach tradeoff choices weigh resize compare label sheet plan swap sweep fats additives designs measures explain trial batch page schema completion new)

_shtab_barwright_blend__h_nargs=0
_shtab_barwright_blend___help_nargs=0
_shtab_barwright_blend___full_nargs=0
_shtab_barwright_blend___json_nargs=0
_shtab_barwright_blend___no_color_nargs=0
_shtab_barwright_blend___no_colour_nargs=0
_shtab_barwright_blend___watch_nargs=0
_shtab_barwright_blend___steps_nargs=0
_shtab_barwright_blend___force_nargs=0
_shtab_barwright_feasible__h_nargs=0
_shtab_barwright_feasible___help_nargs=0
_shtab_barwright_feasible___full_nargs=0
_shtab_barwright_feasible___json_nargs=0
_shtab_barwright_feasible___no_color_nargs=0
_shtab_barwright_feasible___no_colour_nargs=0
_shtab_barwright_reach__h_nargs=0
_shtab_barwright_reach___help_nargs=0
_shtab_barwright_reach___full_nargs=0
_shtab_barwright_reach___json_nargs=0
_shtab_barwright_reach___no_color_nargs=0
_shtab_barwright_reach___no_colour_nargs=0
_shtab_barwright_tradeoff__h_nargs=0
_shtab_barwright_tradeoff___help_nargs=0
_shtab_barwright_tradeoff___full_nargs=0
_shtab_barwright_tradeoff___json_nargs=0
_shtab_barwright_tradeoff___no_color_nargs=0
_shtab_barwright_tradeoff___no_colour_nargs=0
_shtab_barwright_tradeoff___force_nargs=0
_shtab_barwright_choices__h_nargs=0
_shtab_barwright_choices___help_nargs=0
_shtab_barwright_choices___full_nargs=0
_shtab_barwright_choices___json_nargs=0
_shtab_barwright_choices___no_color_nargs=0
_shtab_barwright_choices___no_colour_nargs=0
_shtab_barwright_choices___save_nargs=2
_shtab_barwright_choices___force_nargs=0
_shtab_barwright_weigh__h_nargs=0
_shtab_barwright_weigh___help_nargs=0
_shtab_barwright_weigh___steps_nargs=0
_shtab_barwright_weigh___full_nargs=0
_shtab_barwright_weigh___json_nargs=0
_shtab_barwright_weigh___no_color_nargs=0
_shtab_barwright_weigh___no_colour_nargs=0
_shtab_barwright_resize__h_nargs=0
_shtab_barwright_resize___help_nargs=0
_shtab_barwright_resize___force_nargs=0
_shtab_barwright_resize___steps_nargs=0
_shtab_barwright_resize___full_nargs=0
_shtab_barwright_resize___json_nargs=0
_shtab_barwright_resize___no_color_nargs=0
_shtab_barwright_resize___no_colour_nargs=0
_shtab_barwright_compare_pos_0_nargs=+
_shtab_barwright_compare__h_nargs=0
_shtab_barwright_compare___help_nargs=0
_shtab_barwright_compare___json_nargs=0
_shtab_barwright_compare___no_color_nargs=0
_shtab_barwright_compare___no_colour_nargs=0
_shtab_barwright_label__h_nargs=0
_shtab_barwright_label___help_nargs=0
_shtab_barwright_label___full_nargs=0
_shtab_barwright_label___json_nargs=0
_shtab_barwright_label___no_color_nargs=0
_shtab_barwright_label___no_colour_nargs=0
_shtab_barwright_sheet__h_nargs=0
_shtab_barwright_sheet___help_nargs=0
_shtab_barwright_sheet___both_nargs=0
_shtab_barwright_sheet___force_nargs=0
_shtab_barwright_sheet___full_nargs=0
_shtab_barwright_sheet___json_nargs=0
_shtab_barwright_sheet___no_color_nargs=0
_shtab_barwright_sheet___no_colour_nargs=0
_shtab_barwright_plan__h_nargs=0
_shtab_barwright_plan___help_nargs=0
_shtab_barwright_plan___steps_nargs=0
_shtab_barwright_plan___force_nargs=0
_shtab_barwright_plan___full_nargs=0
_shtab_barwright_plan___json_nargs=0
_shtab_barwright_plan___no_color_nargs=0
_shtab_barwright_plan___no_colour_nargs=0
_shtab_barwright_swap__h_nargs=0
_shtab_barwright_swap___help_nargs=0
_shtab_barwright_swap___out_nargs=+
_shtab_barwright_swap___keep_nargs=+
_shtab_barwright_swap___save_nargs=2
_shtab_barwright_swap___force_nargs=0
_shtab_barwright_swap___full_nargs=0
_shtab_barwright_swap___json_nargs=0
_shtab_barwright_swap___no_color_nargs=0
_shtab_barwright_swap___no_colour_nargs=0
_shtab_barwright_sweep_pos_0_nargs=+
_shtab_barwright_sweep__h_nargs=0
_shtab_barwright_sweep___help_nargs=0
_shtab_barwright_sweep___resume_nargs=0
_shtab_barwright_sweep___force_nargs=0
_shtab_barwright_sweep___full_nargs=0
_shtab_barwright_sweep___json_nargs=0
_shtab_barwright_sweep___no_color_nargs=0
_shtab_barwright_sweep___no_colour_nargs=0
_shtab_barwright_fats__h_nargs=0
_shtab_barwright_fats___help_nargs=0
_shtab_barwright_fats___json_nargs=0
_shtab_barwright_fats___no_color_nargs=0
_shtab_barwright_fats___no_colour_nargs=0
_shtab_barwright_additives__h_nargs=0
_shtab_barwright_additives___help_nargs=0
_shtab_barwright_additives___json_nargs=0
_shtab_barwright_additives___no_color_nargs=0
_shtab_barwright_additives___no_colour_nargs=0
_shtab_barwright_designs__h_nargs=0
_shtab_barwright_designs___help_nargs=0
_shtab_barwright_designs___json_nargs=0
_shtab_barwright_designs___no_color_nargs=0
_shtab_barwright_designs___no_colour_nargs=0
_shtab_barwright_measures__h_nargs=0
_shtab_barwright_measures___help_nargs=0
_shtab_barwright_measures___json_nargs=0
_shtab_barwright_measures___no_color_nargs=0
_shtab_barwright_measures___no_colour_nargs=0
_shtab_barwright_explain_pos_0_nargs='*'
_shtab_barwright_explain__h_nargs=0
_shtab_barwright_explain___help_nargs=0
_shtab_barwright_explain___json_nargs=0
_shtab_barwright_explain___no_color_nargs=0
_shtab_barwright_explain___no_colour_nargs=0
_shtab_barwright_trial_add__h_nargs=0
_shtab_barwright_trial_add___help_nargs=0
_shtab_barwright_trial_add___json_nargs=0
_shtab_barwright_trial_add___no_color_nargs=0
_shtab_barwright_trial_add___no_colour_nargs=0
_shtab_barwright_trial_add___link_nargs=0
_shtab_barwright_trial_list__h_nargs=0
_shtab_barwright_trial_list___help_nargs=0
_shtab_barwright_trial_list___json_nargs=0
_shtab_barwright_trial_list___no_color_nargs=0
_shtab_barwright_trial_list___no_colour_nargs=0
_shtab_barwright_trial_fit__h_nargs=0
_shtab_barwright_trial_fit___help_nargs=0
_shtab_barwright_trial_fit___json_nargs=0
_shtab_barwright_trial_fit___no_color_nargs=0
_shtab_barwright_trial_fit___no_colour_nargs=0
_shtab_barwright_trial_fit___save_nargs=0
_shtab_barwright_trial_pos_0_nargs=A...
_shtab_barwright_trial__h_nargs=0
_shtab_barwright_trial___help_nargs=0
_shtab_barwright_batch_add__h_nargs=0
_shtab_barwright_batch_add___help_nargs=0
_shtab_barwright_batch_add___json_nargs=0
_shtab_barwright_batch_add___no_color_nargs=0
_shtab_barwright_batch_add___no_colour_nargs=0
_shtab_barwright_batch_add___lots_of_shelf_nargs=0
_shtab_barwright_batch_add___draw_down_nargs=0
_shtab_barwright_batch_list__h_nargs=0
_shtab_barwright_batch_list___help_nargs=0
_shtab_barwright_batch_list___json_nargs=0
_shtab_barwright_batch_list___no_color_nargs=0
_shtab_barwright_batch_list___no_colour_nargs=0
_shtab_barwright_batch_show__h_nargs=0
_shtab_barwright_batch_show___help_nargs=0
_shtab_barwright_batch_show___json_nargs=0
_shtab_barwright_batch_show___no_color_nargs=0
_shtab_barwright_batch_show___no_colour_nargs=0
_shtab_barwright_batch_show___recipe_nargs=0
_shtab_barwright_batch_recall__h_nargs=0
_shtab_barwright_batch_recall___help_nargs=0
_shtab_barwright_batch_recall___json_nargs=0
_shtab_barwright_batch_recall___no_color_nargs=0
_shtab_barwright_batch_recall___no_colour_nargs=0
_shtab_barwright_batch_lot__h_nargs=0
_shtab_barwright_batch_lot___help_nargs=0
_shtab_barwright_batch_lot___json_nargs=0
_shtab_barwright_batch_lot___no_color_nargs=0
_shtab_barwright_batch_lot___no_colour_nargs=0
_shtab_barwright_batch_tell__h_nargs=0
_shtab_barwright_batch_tell___help_nargs=0
_shtab_barwright_batch_tell___json_nargs=0
_shtab_barwright_batch_tell___no_color_nargs=0
_shtab_barwright_batch_tell___no_colour_nargs=0
_shtab_barwright_batch_tell___draw_down_nargs=0
_shtab_barwright_batch_stock__h_nargs=0
_shtab_barwright_batch_stock___help_nargs=0
_shtab_barwright_batch_stock___json_nargs=0
_shtab_barwright_batch_stock___no_color_nargs=0
_shtab_barwright_batch_stock___no_colour_nargs=0
_shtab_barwright_batch_note__h_nargs=0
_shtab_barwright_batch_note___help_nargs=0
_shtab_barwright_batch_note___json_nargs=0
_shtab_barwright_batch_note___no_color_nargs=0
_shtab_barwright_batch_note___no_colour_nargs=0
_shtab_barwright_batch_ship__h_nargs=0
_shtab_barwright_batch_ship___help_nargs=0
_shtab_barwright_batch_ship___json_nargs=0
_shtab_barwright_batch_ship___no_color_nargs=0
_shtab_barwright_batch_ship___no_colour_nargs=0
_shtab_barwright_batch_export__h_nargs=0
_shtab_barwright_batch_export___help_nargs=0
_shtab_barwright_batch_export___json_nargs=0
_shtab_barwright_batch_export___no_color_nargs=0
_shtab_barwright_batch_export___no_colour_nargs=0
_shtab_barwright_batch_import__h_nargs=0
_shtab_barwright_batch_import___help_nargs=0
_shtab_barwright_batch_import___json_nargs=0
_shtab_barwright_batch_import___no_color_nargs=0
_shtab_barwright_batch_import___no_colour_nargs=0
_shtab_barwright_batch_pos_0_nargs=A...
_shtab_barwright_batch__h_nargs=0
_shtab_barwright_batch___help_nargs=0
_shtab_barwright_page__h_nargs=0
_shtab_barwright_page___help_nargs=0
_shtab_barwright_page___no_open_nargs=0
_shtab_barwright_schema__h_nargs=0
_shtab_barwright_schema___help_nargs=0
_shtab_barwright_completion__h_nargs=0
_shtab_barwright_completion___help_nargs=0
_shtab_barwright_new__h_nargs=0
_shtab_barwright_new___help_nargs=0
_shtab_barwright_pos_0_nargs=A...
_shtab_barwright__h_nargs=0
_shtab_barwright___help_nargs=0
_shtab_barwright___version_nargs=0

_shtab_compgen_files() {
  compgen -f -- $1  # files
}

_shtab_compgen_dirs() {
  compgen -d -- $1  # recurse into subdirs
}

_shtab_replace_nonword() {
  echo "${1//[^[:word:]]/_}"
}

_set_parser_defaults() {
  local subparsers_var="${prefix}_subparsers[@]"
  sub_parsers=${!subparsers_var-}

  local current_option_strings_var="${prefix}_option_strings[@]"
  current_option_strings=${!current_option_strings_var}

  completed_positional_actions=0

  _set_new_action "pos_$completed_positional_actions" true
}

_set_new_action() {
  current_action="${prefix}_$(_shtab_replace_nonword $1)"

  local current_action_compgen_var=${current_action}_COMPGEN
  current_action_compgen="${!current_action_compgen_var-}"

  local current_action_choices_var="${current_action}_choices[@]"
  current_action_choices="${!current_action_choices_var-}"

  local current_action_nargs_var="${current_action}_nargs"
  if [ -n "${!current_action_nargs_var-}" ]; then
    current_action_nargs="${!current_action_nargs_var}"
  else
    current_action_nargs=1
  fi

  current_action_args_start_index=$(( $word_index + 1 - $pos_only ))

  current_action_is_positional=$2
}

_shtab_barwright() {
  local completing_word="${COMP_WORDS[COMP_CWORD]}"
  local previous_word="${COMP_WORDS[COMP_CWORD-1]}"
  local completed_positional_actions
  local current_action
  local current_action_args_start_index
  local current_action_choices
  local current_action_compgen
  local current_action_is_positional
  local current_action_nargs
  local current_option_strings
  local sub_parsers
  COMPREPLY=()

  local prefix=_shtab_barwright
  local word_index=0
  local pos_only=0 # "--" delimiter not encountered yet
  _set_parser_defaults
  word_index=1

  while [ $word_index -ne $COMP_CWORD ]; do
    local this_word="${COMP_WORDS[$word_index]}"

    if [[ $pos_only = 1 || " $this_word " != " -- " ]]; then
      if [[ -n $sub_parsers && " ${sub_parsers[@]} " == *" $this_word "* ]]; then
        prefix="${prefix}_$(_shtab_replace_nonword $this_word)"
        _set_parser_defaults
      fi

      if [[ " ${current_option_strings[@]} " == *" $this_word "* ]]; then
        _set_new_action $this_word false
      fi

      if [[ "$current_action_nargs" != "*" ]] && \
         [[ "$current_action_nargs" != "+" ]] && \
         [[ "$current_action_nargs" != "?" ]] && \
         [[ "$current_action_nargs" != *"..." ]] && \
         (( $word_index + 1 - $current_action_args_start_index - $pos_only >= \
            $current_action_nargs )); then
        $current_action_is_positional && let "completed_positional_actions += 1"
        _set_new_action "pos_$completed_positional_actions" true
      fi
    else
      pos_only=1 # "--" delimiter encountered
    fi

    let "word_index+=1"
  done

  COMPREPLY=()
  if [[ $pos_only = 0 && "$completing_word" == -* &&
        ( -z "$current_action_compgen" || "$current_action_is_positional" = true ) ]]; then
    while IFS= read -r line; do COMPREPLY+=("$line"); done < <(
      compgen -W "${current_option_strings[*]}" -- "$completing_word")
  elif [[ "$previous_word" =~ ^[0-9\&]*[\<\>]\>?$ ]]; then
    compopt -o filenames 2>/dev/null || : # bash>=4
    while IFS= read -r line; do COMPREPLY+=("$line"); done < <(compgen -f -- "$completing_word")
  else
    local action_compgen_word="$completing_word"
    [[ -n "$current_action_compgen" && "$completing_word" == -* ]] && action_compgen_word=""
    [ -n "$current_action_compgen" ] && {
      [[ "$current_action_compgen" =~ _(file|dir|glob|FILE|DIR|GLOB)|File|Dir|Glob ]] &&
        compopt -o filenames 2>/dev/null || : # bash>=4
      while IFS= read -r line; do COMPREPLY+=("$line"); done < <(
        "$current_action_compgen" "$action_compgen_word")
    }
    while IFS= read -r line; do COMPREPLY+=("$line"); done < <(
      compgen -W "${current_action_choices[*]}" -- "$completing_word")
  fi

  if [[ ${#COMPREPLY[@]} = 0 ]]; then
    compopt +o filenames 2>/dev/null || : # bash>=4
  fi

  return 0
}

complete -o bashdefault -F _shtab_barwright barwright
