//! Random specs from fixed seeds, as text; all figures are invented.

use std::fmt::Write;

/// Text of the spec of a seed. Every text passes the spec's own checks; it need not have a design.
///
/// Tools are round, hexagonal or both; each of the four strategies for a wide range occurs.
pub fn random_spec(seed: u64) -> String {
    let text = round_spec(seed);
    // Chosen by the seed, not by the generator, so that the rest of the spec stays the same. Sleeves are rare because
    // their search takes longest.
    let wide = match seed % 24 {
        1 | 13 | 21 => "sleeves",
        9 => "best",
        _ => return with_hexagons(&text, seed),
    };
    let text = text.replace("wide_range = \"sizes\"", &format!("wide_range = \"{wide}\""));
    // The spec must exclude draft for sleeves and their clips; `best` must find out by itself that their bore is round.
    let text = ["0.5", "1", "1.5"]
        .iter()
        .fold(text, |text, draft| text.replace(&format!("draft = \"{draft} deg\""), "draft = \"0 deg\""));
    if wide == "sleeves" { with_sleeve_steps(&text, seed) } else { with_hexagons(&text, seed) }
}

/// Changes tools to differ from the first by two walls of a sleeve, some of them hardly from each other. The first is the
/// largest unless it is small.
fn with_sleeve_steps(text: &str, seed: u64) -> String {
    let mut random = SplitMix64::new(seed ^ 0x51_eefe);
    let mut out = String::with_capacity(text.len());
    let (mut first, mut wall): (Option<f64>, f64) = (None, 0.0);
    for line in text.lines() {
        let least =
            line.strip_prefix("diameter = { min = ").and_then(|rest| rest.split(',').next()?.parse::<f64>().ok());
        match (least, first) {
            (Some(_), Some(first)) => {
                let same = wall > 0.0 && random.below(2) == 0;
                wall = if same { wall + random.between(0.0, 0.06) } else { random.between(1.3, 0.04 * first + 1.6) };
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

/// Turns one tool in four into a hexagon.
fn with_hexagons(text: &str, seed: u64) -> String {
    let mut random = SplitMix64::new(seed ^ 0x4e_8a60);
    let mut out = String::with_capacity(text.len());
    for line in text.lines() {
        out += line;
        out.push('\n');
        let Some(rest) = line.strip_prefix("diameter = { min = ") else { continue };
        let (hexagon, rounding) = (random.below(4) == 0, random.between(0.08, 0.6));
        let least = rest.split(',').next().and_then(|mm| mm.parse::<f64>().ok());
        if let Some(least) = least.filter(|_| hexagon) {
            let _ = writeln!(out, "section = \"hexagon\"\ncorner = {:.2}", 0.5 * least * rounding);
        }
    }
    out
}

/// A random spec with round tools in round clips or vees.
fn round_spec(seed: u64) -> String {
    let mut random = SplitMix64::new(seed);
    let mut out = format!("[holder]\nname = \"Invented holder {seed}\"\n\n[body]\n");
    let size = random.between(12.0, 40.0);
    let profile = match random.below(4) {
        0 => format!("{{ shape = \"circle\", diameter = {size:.2} }}"),
        1 => format!("{{ shape = \"ellipse\", width = {size:.2}, height = {:.2} }}", size * random.between(0.5, 1.0)),
        2 => {
            let height = size * random.between(0.45, 1.2);
            let corner = size.min(height) * random.between(0.12, 0.48);
            format!(
                "{{ shape = \"rounded-rectangle\", width = {size:.2}, height = {height:.2}, corner = {corner:.2} }}"
            )
        }
        _ => format!(
            "{{ shape = \"flatted-circle\", diameter = {size:.2}, across = {:.2} }}",
            size * random.between(0.7, 0.95)
        ),
    };
    let opens = ["up", "down", "left", "right"][random.below(4)];
    let length = random.between(12.0, 30.0);
    let _ = writeln!(out, "profile = {profile}\nspread = 0.03\nmount_length = {length:.1}\nopens = \"{opens}\"");
    let mut widest: f64 = 0.0;
    for tool in 0..=random.below(3) {
        let least = random.between(6.0, 34.0);
        let greatest = least * (1.0 + random.between(0.0, 0.035));
        widest = widest.max(greatest);
        let _ = writeln!(
            out,
            "\n[[tools]]\nname = \"tool {tool}\"\ndiameter = {{ min = {least:.2}, max = {greatest:.2} }}"
        );
        let (grams, along, across) = (random.between(5.0, 60.0), random.between(0.5, 3.0), random.between(0.3, 2.0));
        let _ = writeln!(out, "mass = \"{grams:.0} g\"");
        let _ = writeln!(out, "working_load = {{ along = \"{along:.1} N\", across = \"{across:.1} N\" }}");
    }
    // Enough room for most walls; tight ones may be refused.
    let offset = 0.5 * (size + widest) * random.between(1.0, 1.3) + 14.0;
    let snap = random.between(50.0, 110.0);
    let uses = ["single", "repeated"][random.below(2)];
    // Chosen by the seed, not by the generator, so that the rest of the spec stays the same.
    let wide = if seed % 3 == 2 { "vee" } else { "sizes" };
    let material = ["petg", "pa12", "pp", "abs"][random.below(4)];
    let draft = [0.0, 0.0, 0.5, 1.0, 1.5][random.below(5)];
    let gripping = ["straight", "drafted"][random.below(2)];
    let chamfer = [0.0, 0.3, 0.4][random.below(3)];
    let _ = write!(
        out,
        "\n[layout]\noffset = {offset:.1}\n\n[fit]\nload_path = \"report\"\nsnap_on = {{ at_most = \"{snap:.0} N\" }}\nhold = {{ safety = 1.2 }}\n\
         uses = \"{uses}\"\nwide_range = \"{wide}\"\n\n[material]\nprint = \"{material}\"\n\n[finish]\ndraft = \"{draft} deg\"\n\
         gripping_faces = \"{gripping}\"\nchamfer = {chamfer}\n\n[printer]\nbed = [250.0, 250.0]\nleast_wall = 0.8\n"
    );
    out
}

/// Text of a random spec with a layout: pitched, with up to four clips, with a stop, or with draft.
pub fn random_layout(seed: u64) -> String {
    let mut random = SplitMix64::new(seed ^ 0x1a_7007);
    let pitched = random.below(3) > 0;
    let count = 1 + random.below(4);
    let apart = random.between(14.0, 26.0);
    // Centred about the mount's middle, with a small shift.
    let first = -0.5 * apart * (count - 1) as f64 + random.between(-3.0, 3.0);
    let stations: Vec<String> = (0..count).map(|i| format!("{:.1}", first + apart * i as f64)).collect();
    let mut lines = format!("stations = [{}]\n", stations.join(", "));
    if random.below(2) == 0 {
        let lengths: Vec<String> = (0..count).map(|_| format!("{:.1}", random.between(6.0, 11.5))).collect();
        let _ = writeln!(lines, "lengths = [{}]", lengths.join(", "));
    }
    // With draft a vee has only one clip, but these specs test layouts.
    let mut text = round_spec(seed).replace("wide_range = \"vee\"", "wide_range = \"sizes\"");
    if pitched {
        let _ = writeln!(lines, "pitch = {:.1}", random.between(-14.0, 14.0));
        if random.below(3) == 0 {
            let _ = writeln!(lines, "stop = {{ at = {:.1} }}", first - random.between(12.0, 18.0));
        }
        for draft in ["0.5", "1", "1.5"] {
            text = text.replace(&format!("draft = \"{draft} deg\""), "draft = 0");
        }
    }
    // The webs of inclined clips need more room.
    let extra = random.between(4.0, 16.0);
    let offset = text.lines().find_map(|line| line.strip_prefix("offset = ")).and_then(|mm| mm.parse::<f64>().ok());
    let before = text.lines().find(|line| line.starts_with("offset = ")).unwrap_or_default().to_owned();
    let mut more = SplitMix64::new(seed ^ 0x7a_9e4);
    if text.contains("draft = \"0 deg\"") || text.contains("draft = 0\n") {
        text = with_taper(&text, &mut more);
        if more.below(3) == 0 {
            lines += "web = \"windows\"\n";
        }
    }
    if more.below(4) == 0 {
        let _ = writeln!(lines, "sway = {{ at_most = {:.2} }}", more.between(0.05, 0.6));
    }
    text.replace(&before, &format!("offset = {:.1}\n{lines}", offset.unwrap_or(60.0) + extra))
}

/// Gives every other round or rectangular body a second section, offset evenly or less in height.
fn with_taper(text: &str, random: &mut SplitMix64) -> String {
    let (at, slope) = (random.between(15.0, 40.0), random.between(-0.035, 0.035));
    let wanted = random.below(2) == 0;
    let Some(line) = text.lines().find(|line| line.starts_with("profile = ")) else { return text.to_owned() };
    let number = |key: &str| {
        let rest = line.split(&format!("{key} = ")).nth(1)?;
        rest.split([',', ' ']).next()?.parse::<f64>().ok()
    };
    let moved = at * slope;
    let lower = if random.below(2) == 0 { moved } else { 0.4 * moved };
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

/// Random generator `SplitMix64` (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", 2014; constants
/// from memory). It is our own, so that a seed always gives the same spec.
pub(crate) struct SplitMix64(u64);

impl SplitMix64 {
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

    /// A number between two bounds.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        // The upper 53 bits fill the mantissa exactly.
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A whole number from 0 to below `count`.
    pub(crate) fn below(&mut self, count: usize) -> usize {
        usize::try_from(self.next() % count as u64).unwrap_or(0)
    }
}
