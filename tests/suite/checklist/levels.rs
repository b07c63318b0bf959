//! Ladder levels and prerequisites are read strictly too.

use super::reading::check;

#[test]
fn a_level_has_exactly_one_draw_that_fits_its_item() {
    check(
        "count = 1",
        "",
        &[
            "desk.toml: line 17: item `things`: level 1 needs exactly one of `count`, `option`, `alone`, `db`, found none of them",
        ],
    );
    check(
        "count = 1",
        "count = 1\nalone = 2",
        &[
            "desk.toml: line 17: item `things`: level 1 needs exactly one of `count`, `option`, `alone`, `db`, found `count` and `alone`",
        ],
    );
    check(
        "count = 1",
        "count = 0",
        &["desk.toml: line 19: item `things`: level 1: `count` must be a whole number from 1 to 10000, found 0"],
    );
    check(
        "count = 1",
        "db = 40",
        &["desk.toml: line 19: item `things`: level 1: only a heard item has `db`; write `count`, `option` or `alone`"],
    );
    check(
        "count = 1",
        "count = 1\nspeech = true",
        &["desk.toml: line 19: item `things`: level 1: `speech` stands only beside `db`; take the line out"],
    );
    check(
        "option = \"moving\"",
        "option = \"movign\"",
        &[
            "desk.toml: line 40: item `window`: level 1: there is no option \"movign\"; choose \"none\" or \"moving\" (did you mean `moving`?)",
        ],
    );
    check(
        "option = \"moving\"",
        "count = 3",
        &["desk.toml: line 40: item `window`: level 1: the item is not counted; write `option` or `alone`"],
    );
    check(
        "db = 40.0\nspeech = true",
        "alone = 3",
        &["desk.toml: line 54: item `radio`: level 1: a heard item is set up by its sound; write `db`, not `alone`"],
    );
    check(
        "db = 40.0",
        "db = 400",
        &["desk.toml: line 54: item `radio`: `db` must be a level at the child's ear from 0 to 100, found 400"],
    );
    check(
        "name = \"one thing\"\n",
        "",
        &["desk.toml: line 17: item `things`: `name` is missing; write what is set up, in a few words"],
    );
}

#[test]
fn a_prerequisite_must_exist_be_reachable_and_not_run_in_a_ring() {
    check(
        "needs = { id = \"things\", level = 1 }",
        "needs = { id = \"thigns\", level = 1 }",
        &[
            "desk.toml: line 29: item `window`: `needs` names `thigns`, which is no item of this list (did you mean `things`?)",
        ],
    );
    check(
        "needs = { id = \"things\", level = 1 }",
        "needs = { id = \"things\", level = 2 }",
        &["desk.toml: line 29: item `window`: `needs` asks for level 2 of `things`, which has levels 1 to 1"],
    );
    check(
        "needs = { id = \"things\", level = 1 }",
        "needs = { id = \"window\", level = 1 }",
        &["desk.toml: line 29: item `window`: `needs` names the item itself; name another one"],
    );
    check(
        "needs = { id = \"things\", level = 1 }",
        "needs = \"things\"",
        &[
            "desk.toml: line 29: item `window`: `needs` must be like { id = \"television-picture\", level = 1 }, found \"things\"",
        ],
    );
    check(
        "minutes = 4",
        "minutes = 4\nneeds = { id = \"window\", level = 1 }",
        &[
            "desk.toml: line 16: item `things`: `needs` runs in a ring through `window`: neither could ever come first; take one out",
            "desk.toml: line 30: item `window`: `needs` runs in a ring through `things`: neither could ever come first; take one out",
        ],
    );
}
