"""What a new workspace holds beside the goal files and the shelf: words, a recipe and a design to change."""

from __future__ import annotations

START_FILE = "START-HERE.txt"
RECIPE = """\
# yaml-language-server: $schema=recipe.schema.json
# A recipe in hand, invented like the shelf. The program works out alkali and water:
#   barwright weigh recipes/in-hand.yaml
title: Thirds
shelf: ../inventory/kittiwake.yaml
fats: {coconut oil: 500 g, palm oil: 500 g, olive oil: 500 g}
superfat: 5 %
"""
DESIGN = """\
# yaml-language-server: $schema=designs.schema.json
# Designs of your own, in the format of ours (`barwright designs "fine swirl"` shows one). A goal file names them like ours:
# design: two-tone slab. This one is invented, as an example to change.
designs:
  - name: two-tone slab
    about: Two colours poured one after the other into a flat mould.
    batter: The first pour must bear the second without being broken by it.
    pour_to: medium
    parts: yes
    steps:
      - ready: Take a flat mould and lay out two jugs.
      - Split the batter in two by weight, colour both, and take the first to a medium trace.
      - Pour it, let it stand till it bears the tip of a spoon, and pour the second over a spatula held low.
    goals:
      trace_speed: {between: [33, 42], why: "Thick enough to bear the second colour, thin enough to lie flat.", status: prior}
      superfat: {between: [4 %, 6 %], why: "A wide flat surface shows every drop of oil that it sweats.", status: "common practice, no source"}
    shares:
      butters: {at_most: 15 %, why: "Butters set in grains where a slab cools fast.", status: "common practice, no source"}
"""
PLAN = """\
# yaml-language-server: $schema=plan.schema.json
# Several bars from one shelf, invented like it: scarce fats go where they save most.
#   barwright plan plans/october.yaml
title: October
shelf: ../inventory/kittiwake.yaml
buy: any                                # none takes the stock alone; packs buys whole packs
bars:
  - {goals: ../goals/everyday.yaml, batch: {bars: 200}}
  - {goals: ../goals/fine-swirl.yaml, batch: {bars: 48}}
  - {goals: ../goals/mature-skin.yaml, batch: {bars: 60}}
"""
TRIALS = """\
What happened at the bench, a file for each batch, is written here by
    barwright trial add RECIPE --trace "4 min" --unmould "20 h"
and from it your own scales:
    barwright trial fit --save
"""
START = """\
From a goal file to the bench, and back from a lot to its bars. Everything here
is an invented example: the shelf's prices, lots and the scent's paper are made
up. Lye burns and blinds: before anything is made, read the supplier's safety
data sheet and the rules where you live.

Open this folder in a terminal. Each line works as it stands.

1. The cheapest blend that meets the goals, kept as a recipe:
    barwright blend goals/everyday.yaml --save recipes/everyday.yaml

2. The making sheet, one page to open and print; or straight from the goals:
    barwright sheet recipes/everyday.yaml -o everyday.html
    barwright sheet goals/fine-swirl.yaml -o fine-swirl.html

3. What could stand on its label, a draft to check:
    barwright label recipes/everyday.yaml

4. Once it is made, the record: the recipe as weighed out and the lots in it:
    barwright batch add recipes/everyday.yaml --id EV1 --bars 36 --lots-of-shelf
    barwright batch note EV1 --trace "4 min" --ash no
    barwright batch ship EV1 --bars 12 --to "the harbour shop"

5. A lot is called back: which bars hold it, and where they went:
    barwright batch recall --lot KW-PA-208
    barwright batch recall --batch EV1

6. What was seen, for times of your own:
    barwright trial add recipes/everyday.yaml --trace "4 min"

Several bars from one shelf, and what to buy for them:
    barwright plan plans/october.yaml

A recipe that you have already:
    barwright weigh recipes/in-hand.yaml
    barwright swap recipes/in-hand.yaml --out "palm oil"
    barwright resize recipes/in-hand.yaml --to "24 bars of 110 g"

Then make it yours: put your fats, prices and lots into
inventory/kittiwake.yaml (or the CSV beside it), copy a goal file, and change
what the bar must be.
"""
WELCOME = """\
Laid out in {folder}:
  {start}  what to do next, from a goal file to the bench, line by line
  goals/      one file for each bar: copy one and change what the bar must be
  inventory/  an invented shelf, as YAML and as CSV: put your own fats,
              prices and lots there
  plans/      several bars from one shelf, for `barwright plan`
  recipes/    recipes in hand, for `barwright weigh`
  designs/    a design of your own, beside those that `barwright designs` lists
  trials/     what happens at the bench, for `barwright trial`

The shelf's prices and lots are made up. Lye burns: before anything is made,
read the supplier's safety data sheet and the rules where you live.

Next: barwright blend {example}
"""
