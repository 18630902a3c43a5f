//! Random specs with fixed seeds, as text: what a user could write, all of it invented.

use std::fmt::Write;

/// The text of the spec with this seed. Every text passes the spec's own checks; whether a design meets it is open.
///
/// Round tools, hexagons and both, in one of the four ways to serve a wide range.
pub fn random_spec(seed: u64) -> String {
    let text = round_spec(seed);
    // After the seed and not by throws of the first dice, so that the rest of a spec stays what it was. Sleeves take
    // the search longest.
    let wide = match seed % 24 {
        1 | 13 | 21 => "sleeves",
        9 => "best",
        _ => return hexagons(&text, seed),
    };
    let text = text.replace("wide_range = \"sizes\"", &format!("wide_range = \"{wide}\""));
    // Sleeves and their clips have no draft, which the spec says; that their bore is round, `best` must find out by itself.
    let text = ["0.5", "1", "1.5"]
        .iter()
        .fold(text, |text, draft| text.replace(&format!("draft = \"{draft} deg\""), "draft = \"0 deg\""));
    if wide == "sleeves" { stepped(&text, seed) } else { hexagons(&text, seed) }
}

/// Tools that differ from the first by two walls of a sleeve, as sleeves are for, and some hardly from each other. The first is
/// the largest of all unless it is small.
fn stepped(text: &str, seed: u64) -> String {
    let mut dice = Dice::new(seed ^ 0x51_eefe);
    let mut out = String::with_capacity(text.len());
    let (mut first, mut wall): (Option<f64>, f64) = (None, 0.0);
    for line in text.lines() {
        let least =
            line.strip_prefix("diameter = { min = ").and_then(|rest| rest.split(',').next()?.parse::<f64>().ok());
        match (least, first) {
            (Some(_), Some(first)) => {
                let same = wall > 0.0 && dice.below(2) == 0;
                wall = if same { wall + dice.between(0.0, 0.06) } else { dice.between(1.3, 0.04 * first + 1.6) };
                let least = if first > 15.0 { first - 2.0 * wall } else { first + 2.0 * wall };
                let _ = writeln!(out, "diameter = {{ min = {least:.2}, max = {:.2} }}", 1.005 * least);
            }
            (least, _) => {
                first = first.or(least);
                let _ = writeln!(out, "{line}");
            }
        }
    }
    out
}

/// Makes a hexagon of one tool in four.
fn hexagons(text: &str, seed: u64) -> String {
    let mut dice = Dice::new(seed ^ 0x4e_8a60);
    let mut out = String::with_capacity(text.len());
    for line in text.lines() {
        out += line;
        out.push('\n');
        let Some(rest) = line.strip_prefix("diameter = { min = ") else { continue };
        let (hexagon, rounding) = (dice.below(4) == 0, dice.between(0.08, 0.6));
        let least = rest.split(',').next().and_then(|mm| mm.parse::<f64>().ok());
        if let Some(least) = least.filter(|_| hexagon) {
            let _ = writeln!(out, "section = \"hexagon\"\ncorner = {:.2}", 0.5 * least * rounding);
        }
    }
    out
}

/// A random spec of round tools in round clips or vees.
fn round_spec(seed: u64) -> String {
    let mut dice = Dice::new(seed);
    let mut out = format!("[holder]\nname = \"Invented holder {seed}\"\n\n[body]\n");
    let size = dice.between(12.0, 40.0);
    let profile = match dice.below(4) {
        0 => format!("{{ shape = \"circle\", diameter = {size:.2} }}"),
        1 => format!("{{ shape = \"ellipse\", width = {size:.2}, height = {:.2} }}", size * dice.between(0.5, 1.0)),
        2 => {
            let height = size * dice.between(0.45, 1.2);
            let corner = size.min(height) * dice.between(0.12, 0.48);
            format!(
                "{{ shape = \"rounded-rectangle\", width = {size:.2}, height = {height:.2}, corner = {corner:.2} }}"
            )
        }
        _ => format!(
            "{{ shape = \"flatted-circle\", diameter = {size:.2}, across = {:.2} }}",
            size * dice.between(0.7, 0.95)
        ),
    };
    let opens = ["up", "down", "left", "right"][dice.below(4)];
    let length = dice.between(12.0, 30.0);
    let _ = writeln!(out, "profile = {profile}\nspread = 0.03\nmount_length = {length:.1}\nopens = \"{opens}\"");
    let mut widest: f64 = 0.0;
    for tool in 0..=dice.below(3) {
        let least = dice.between(6.0, 34.0);
        let greatest = least * (1.0 + dice.between(0.0, 0.035));
        widest = widest.max(greatest);
        let _ = writeln!(
            out,
            "\n[[tools]]\nname = \"tool {tool}\"\ndiameter = {{ min = {least:.2}, max = {greatest:.2} }}"
        );
        let (grams, along, across) = (dice.between(5.0, 60.0), dice.between(0.5, 3.0), dice.between(0.3, 2.0));
        let _ = writeln!(out, "mass = \"{grams:.0} g\"");
        let _ = writeln!(out, "working_load = {{ along = \"{along:.1} N\", across = \"{across:.1} N\" }}");
    }
    // Roomy for whatever walls come out; some are drawn tighter and may be refused.
    let offset = 0.5 * (size + widest) * dice.between(1.0, 1.3) + 14.0;
    let snap = dice.between(50.0, 110.0);
    let uses = ["single", "repeated"][dice.below(2)];
    // After the seed and not by a throw, so that the rest of the spec stays what it was.
    let wide = if seed % 3 == 2 { "vee" } else { "sizes" };
    let material = ["petg", "pa12", "pp", "abs"][dice.below(4)];
    let draft = [0.0, 0.0, 0.5, 1.0, 1.5][dice.below(5)];
    let gripping = ["straight", "drafted"][dice.below(2)];
    let chamfer = [0.0, 0.3, 0.4][dice.below(3)];
    let _ = write!(
        out,
        "\n[layout]\noffset = {offset:.1}\n\n[fit]\nsnap_on = {{ at_most = \"{snap:.0} N\" }}\nhold = {{ safety = 1.2 }}\n\
         uses = \"{uses}\"\nwide_range = \"{wide}\"\n\n[material]\nprint = \"{material}\"\n\n[finish]\ndraft = \"{draft} deg\"\n\
         gripping_faces = \"{gripping}\"\nchamfer = {chamfer}\n\n[printer]\nbed = [250.0, 250.0]\nleast_wall = 0.8\n"
    );
    out
}

/// The text of a random spec with a layout of its own: pitched, with up to four clips, with a stop, or with draft.
pub fn random_layout(seed: u64) -> String {
    let mut dice = Dice::new(seed ^ 0x1a_7007);
    let pitched = dice.below(3) > 0;
    let count = 1 + dice.below(4);
    let apart = dice.between(14.0, 26.0);
    // About the mount's middle, and a little aside.
    let first = -0.5 * apart * (count - 1) as f64 + dice.between(-3.0, 3.0);
    let stations: Vec<String> = (0..count).map(|i| format!("{:.1}", first + apart * i as f64)).collect();
    let mut lines = format!("stations = [{}]\n", stations.join(", "));
    if dice.below(2) == 0 {
        let lengths: Vec<String> = (0..count).map(|_| format!("{:.1}", dice.between(6.0, 11.5))).collect();
        let _ = writeln!(lines, "lengths = [{}]", lengths.join(", "));
    }
    // Vees come with one clip alone where there is draft; here the layout is what is tried.
    let mut text = round_spec(seed).replace("wide_range = \"vee\"", "wide_range = \"sizes\"");
    if pitched {
        let _ = writeln!(lines, "pitch = {:.1}", dice.between(-14.0, 14.0));
        if dice.below(3) == 0 {
            let _ = writeln!(lines, "stop = {{ at = {:.1} }}", first - dice.between(12.0, 18.0));
        }
        for draft in ["0.5", "1", "1.5"] {
            text = text.replace(&format!("draft = \"{draft} deg\""), "draft = 0");
        }
    }
    // The webs of leaning clips need more room.
    let extra = dice.between(4.0, 16.0);
    let offset = text.lines().find_map(|line| line.strip_prefix("offset = ")).and_then(|mm| mm.parse::<f64>().ok());
    let before = text.lines().find(|line| line.starts_with("offset = ")).unwrap_or_default().to_owned();
    let mut more = Dice::new(seed ^ 0x7a_9e4);
    if text.contains("draft = \"0 deg\"") || text.contains("draft = 0\n") {
        text = tapering(&text, &mut more);
        if more.below(3) == 0 {
            lines += "web = \"windows\"\n";
        }
    }
    if more.below(4) == 0 {
        let _ = writeln!(lines, "sway = {{ at_most = {:.2} }}", more.between(0.05, 0.6));
    }
    text.replace(&before, &format!("offset = {:.1}\n{lines}", offset.unwrap_or(60.0) + extra))
}

/// One in two bodies that are round or rectangular gets a second section, moved in or out evenly, or less in height.
fn tapering(text: &str, dice: &mut Dice) -> String {
    let (at, slope) = (dice.between(15.0, 40.0), dice.between(-0.035, 0.035));
    let wanted = dice.below(2) == 0;
    let Some(line) = text.lines().find(|line| line.starts_with("profile = ")) else { return text.to_owned() };
    let number = |key: &str| {
        let rest = line.split(&format!("{key} = ")).nth(1)?;
        rest.split([',', ' ']).next()?.parse::<f64>().ok()
    };
    let moved = at * slope;
    let lower = if dice.below(2) == 0 { moved } else { 0.4 * moved };
    let far = if line.contains("\"circle\"") {
        number("diameter").map(|d| {
            let (width, height) = (d - 2.0 * moved, d - 2.0 * lower);
            if lower.to_bits() == moved.to_bits() {
                format!("{{ shape = \"circle\", diameter = {width} }}")
            } else {
                format!("{{ shape = \"ellipse\", width = {width}, height = {height} }}")
            }
        })
    } else if line.contains("\"rounded-rectangle\"") {
        let sizes = (number("width"), number("height"), number("corner"));
        let (Some(width), Some(height), Some(corner)) = sizes else { return text.to_owned() };
        (corner - moved >= 0.3).then(|| {
            let (width, height, corner) = (width - 2.0 * moved, height - 2.0 * lower, corner - moved);
            format!("{{ shape = \"rounded-rectangle\", width = {width}, height = {height}, corner = {corner} }}")
        })
    } else {
        None
    };
    match far.filter(|_| wanted) {
        Some(far) => text.replace(line, &format!("{line}\nfar = {{ at = {at}, profile = {far} }}")),
        None => text.to_owned(),
    }
}

/// A small generator of our own, so that a seed means the same spec for ever: `SplitMix64` (Steele, Lea and Flood,
/// "Fast splittable pseudorandom number generators", 2014; constants from memory).
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        // The upper 53 bits fill the mantissa exactly.
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn below(&mut self, count: usize) -> usize {
        usize::try_from(self.next() % count as u64).unwrap_or(0)
    }
}
