//! Tables of a design: sizes, sleeves, odds, coupons, files.

use super::limit_tables::share_bar;
use crate::{
    figures::{
        FigureForm::{Decimals, Degrees, Percent, Text, TwoDigits},
        Figures,
    },
    page_table::{Cell, Table},
};

/// Sizes and the mount.
pub(super) fn size_table(figures: Figures<'_>) -> String {
    let mut table = Table::new(
        "Sizes and mount",
        &[
            ("size", None),
            ("form", None),
            ("grips", None),
            ("seat radius", Some("mm")),
            ("wall root", Some("mm")),
            ("wall lip", Some("mm")),
            ("half wrap", Some("\u{b0}")),
            ("mouth", Some("mm")),
            ("length", Some("mm")),
            ("tightest", Some("times")),
            ("bound by", None),
        ],
    );
    for index in 0..figures.count("/sizes") {
        let at = |key: &str| format!("/sizes/{index}/{key}");
        let diameter = figures.html(&at("seat_radius_mm"), Decimals(2));
        table.row(&[
            Cell::Words(figures.html(&at("size"), Text)),
            Cell::Words(figures.html(&at("form"), Text)),
            Cell::Words(names(figures, &at("tools"))),
            Cell::Figure(diameter),
            Cell::Figure(figures.html(&at("root_wall_mm"), Decimals(2))),
            Cell::Figure(figures.html(&at("lip_wall_mm"), Decimals(2))),
            Cell::Figure(figures.html(&at("half_wrap_rad"), Degrees(0))),
            Cell::Figure(figures.html(&at("mouth_mm"), Decimals(2))),
            Cell::Figure(figures.html(&at("length_mm"), Decimals(1))),
            Cell::Figure(figures.html(&at("margin/ratio"), Decimals(2))),
            Cell::Words(names(figures, &at("bound_by"))),
        ]);
    }
    table.row(&[
        Cell::Words("M".to_owned()),
        Cell::Words("mount".to_owned()),
        Cell::Words("the body".to_owned()),
        Cell::Figure("–".to_owned()),
        Cell::Figure(figures.html("/mount/wall_mm", Decimals(2))),
        Cell::Figure(figures.html("/mount/wall_mm", Decimals(2))),
        Cell::Figure(figures.html("/mount/half_wrap_rad", Degrees(0))),
        Cell::Figure(figures.html("/mount/mouth_mm", Decimals(2))),
        Cell::Figure(figures.html("/mount/length_mm", Decimals(1))),
        Cell::Figure(figures.html("/mount/margin/ratio", Decimals(2))),
        Cell::Words(names(figures, "/mount/bound_by")),
    ]);
    table.finish()
}

/// Sleeves; empty without any.
pub(super) fn sleeve_table(figures: Figures<'_>) -> String {
    let count = figures.count("/sleeves");
    if count == 0 {
        return String::new();
    }
    let mut table = Table::new(
        "Sleeves",
        &[
            ("sleeve", None),
            ("tools", None),
            ("outside in the clip", Some("mm")),
            ("wall", Some("mm")),
            ("slides at", Some("N")),
            ("slit", Some("mm")),
            ("tightest", Some("times")),
        ],
    );
    for index in 0..count {
        let at = |key: &str| format!("/sleeves/{index}/{key}");
        table.row(&[
            Cell::Words(figures.html(&at("sleeve"), Text)),
            Cell::Words(names(figures, &at("tools"))),
            Cell::Figure(figures.range_html(&at("outside_in_clip_mm"), Decimals(2))),
            Cell::Figure(figures.html(&at("wall_mm"), Decimals(2))),
            Cell::Figure(figures.range_html(&at("slides_n"), TwoDigits)),
            Cell::Figure(figures.html(&at("slit_mm"), Decimals(1))),
            Cell::Figure(figures.html(&at("margin/ratio"), Decimals(2))),
        ]);
    }
    table.finish()
}

/// Odds of every tool and of the mount.
pub(super) fn odds_table(figures: Figures<'_>, rows: &[usize]) -> String {
    let mut table = Table::new(
        "Odds that a part of this process serves",
        &[
            ("tool", None),
            ("size", None),
            ("share", None),
            ("both", Some("%")),
            ("goes on", Some("%")),
            ("holds", Some("%")),
            ("error \u{b1}", Some("%")),
        ],
    );
    let mut row = |name: String, size: String, at: &str| {
        let bar = figures.number(&format!("{at}/both")).map_or(String::new(), share_bar);
        table.row(&[
            Cell::Words(name),
            Cell::Words(size),
            Cell::Words(bar),
            Cell::Figure(figures.html(&format!("{at}/both"), Percent(1))),
            Cell::Figure(figures.html(&format!("{at}/goes_on"), Percent(1))),
            Cell::Figure(figures.html(&format!("{at}/holds"), Percent(1))),
            Cell::Figure(figures.html(&format!("{at}/error"), Percent(1))),
        ]);
    };
    // Both rows of a tool have its odds.
    for index in rows.iter().filter(|index| figures.words(&format!("/fit/{index}/at")) == "least") {
        let at = |key: &str| format!("/fit/{index}/{key}");
        row(figures.html(&at("tool"), Text), figures.html(&at("size"), Text), &at("odds"));
    }
    row("mount on the body".to_owned(), "M".to_owned(), "/mount/odds");
    table.finish()
}

/// Coupons with what is expected of them; empty without any.
pub(super) fn coupon_table(figures: Figures<'_>) -> String {
    let count = figures.count("/tries");
    if count == 0 {
        return String::new();
    }
    let mut table = Table::new(
        "Coupons",
        &[
            ("coupon", None),
            ("seat", Some("mm")),
            ("for", None),
            ("push", Some("N")),
            ("pull", Some("N")),
            ("strain", Some("%")),
            ("tries", None),
        ],
    );
    for index in 0..count {
        let coupon = |key: &str| format!("/coupons/{index}/{key}");
        let tried = |key: &str| format!("/tries/{index}/{key}");
        let tools = names(figures, &coupon("tools"));
        let tries = match figures.value(&tried("tries_at_most")) {
            serde_json::Value::String(_) => "any number".to_owned(),
            serde_json::Value::Number(_) => figures.html(&tried("tries_at_most"), Decimals(0)),
            _ => "–".to_owned(),
        };
        table.row(&[
            Cell::Words(figures.html(&coupon("coupon"), Text)),
            Cell::Figure(figures.html(&coupon("seat_mm"), Decimals(2))),
            Cell::Words(if tools.is_empty() { "the body".to_owned() } else { tools }),
            Cell::Figure(figures.range_html(&tried("push_n"), TwoDigits)),
            Cell::Figure(figures.range_html(&tried("pull_n"), TwoDigits)),
            Cell::Figure(figures.html(&tried("strain"), Percent(2))),
            Cell::Words(tries),
        ]);
    }
    table.finish()
}

/// Words of a list, joined by commas.
fn names(figures: Figures<'_>, at: &str) -> String {
    let count = figures.count(at);
    (0..count).map(|k| figures.html(&format!("{at}/{k}"), Text)).collect::<Vec<_>>().join(", ")
}
