//! Random specs from fixed seeds with a lever that sweeps through the web; all figures are invented.

use std::fmt::Write;

use crate::random_specs::SplitMix64;

/// Text of a spec with one lever that reaches the web from one side, above the mount and below the clips. A pocket in the
/// web need not be possible.
pub fn random_sweep(seed: u64) -> String {
    let mut random = SplitMix64::new(seed ^ 0x05_1eeb);
    let (width, height) = (random.between(14.0, 28.0), random.between(12.0, 18.0));
    let mount_length = random.between(22.0, 34.0);
    let barrel = random.between(8.0, 13.0);
    // Room for the walls of mount and clip, and for a pocket in the web.
    let offset = 0.5 * (height + barrel) + random.between(20.0, 30.0);
    let pitch = random.between(-9.0, 9.0);
    let mut out = format!(
        "[holder]\nname = \"Invented holder {seed}\"\n\n[body]\nprofile = {{ shape = \"rounded-rectangle\", width = {width:.1}, \
         height = {height:.1}, corner = 3.5 }}\nmount_length = {mount_length:.1}\n\n[[tools]]\nname = \"rod\"\n\
         diameter = {{ min = {barrel:.2}, max = {:.2} }}\nworking_load = {{ along = \"1 N\", across = \"0.6 N\" }}\n\n[layout]\n\
         offset = {offset:.2}\npitch = {pitch:.2}\n",
        barrel + 0.1
    );
    let _ = match random.below(3) {
        0 => writeln!(out, "stations = [0.0]"),
        1 => {
            let apart = random.between(9.0, 15.0);
            writeln!(out, "stations = [{:.2}, {apart:.2}]", -apart)
        }
        _ => {
            let apart = random.between(18.0, 22.0);
            writeln!(out, "stations = [{:.2}, {:.2}, {apart:.2}]", -apart, random.between(-2.0, 2.0))
        }
    };
    // Every third web is lightened, too.
    if seed % 3 == 2 {
        out += "web = \"windows\"\n";
    }
    // From above the mount's pad to below the valleys between the clips.
    let (low, high) = (0.5 * height + 5.0, offset - 0.5 * barrel - 7.0);
    let thickness = random.between(2.0, 4.5);
    let clearance = random.between(0.3, 1.4);
    let y = low + (high - low) * random.between(0.35, 0.65);
    let side = if random.below(2) == 0 { -1.0 } else { 1.0 };
    let pivot = side * (0.5 * mount_length + random.between(10.0, 30.0));
    let tip = side * random.between(1.0, 0.5 * mount_length - 2.0);
    let reach = (pivot - tip).abs();
    // Most of what the room allows the tip to swing.
    let swing = (0.8 * (0.5 * (high - low) - 0.5 * thickness - clearance).max(0.6) / reach).atan().to_degrees();
    let middle = if side < 0.0 { 0.0 } else { 180.0 } + swing * random.between(-0.4, 0.4);
    let (from, to) = (middle - swing * random.between(0.3, 1.0), middle + swing * random.between(0.3, 1.0));
    let _ = write!(
        out,
        "\n[[keep_out]]\nname = \"lever\"\nsweep = {{ pivot = [{y:.3}, {pivot:.3}], reach = {reach:.3}, \
         thickness = {thickness:.3}, width = {:.3}, across = {:.3}, from = {from:.4}, to = {to:.4} }}\n\
         clearance = {clearance:.3}\n\n[fit]\nload_path = \"report\"\nsnap_on = {{ at_most = \"90 N\" }}\nhold = {{ safety = 1.2 }}\n\n[material]\n\
         print = \"{}\"\n\n[finish]\nchamfer = {}\n",
        random.between(4.0, 16.0),
        random.between(-3.0, 3.0),
        ["petg", "pa12", "pp"][random.below(3)],
        [0.0, 0.3, 0.4][random.below(3)],
    );
    out
}
