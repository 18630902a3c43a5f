//! Random holders whose web a lever sweeps through, with fixed seeds; all of it invented.

use std::fmt::Write;

use crate::random_specs::Dice;

/// The text of a spec with one lever that comes at the web from one side, above the mount and below the clips. Whether the
/// web can give way is open.
pub fn random_sweep(seed: u64) -> String {
    let mut dice = Dice::new(seed ^ 0x05_1eeb);
    let (width, height) = (dice.between(14.0, 28.0), dice.between(12.0, 18.0));
    let mount_length = dice.between(22.0, 34.0);
    let barrel = dice.between(8.0, 13.0);
    // Room for the walls of mount and clip and for a web that a lever fits through.
    let offset = 0.5 * (height + barrel) + dice.between(20.0, 30.0);
    let pitch = dice.between(-9.0, 9.0);
    let mut out = format!(
        "[holder]\nname = \"Invented holder {seed}\"\n\n[body]\nprofile = {{ shape = \"rounded-rectangle\", width = {width:.1}, \
         height = {height:.1}, corner = 3.5 }}\nmount_length = {mount_length:.1}\n\n[[tools]]\nname = \"rod\"\n\
         diameter = {{ min = {barrel:.2}, max = {:.2} }}\nworking_load = {{ along = \"1 N\", across = \"0.6 N\" }}\n\n[layout]\n\
         offset = {offset:.2}\npitch = {pitch:.2}\n",
        barrel + 0.1
    );
    let _ = match dice.below(3) {
        0 => writeln!(out, "stations = [0.0]"),
        1 => {
            let apart = dice.between(9.0, 15.0);
            writeln!(out, "stations = [{:.2}, {apart:.2}]", -apart)
        }
        _ => {
            let apart = dice.between(18.0, 22.0);
            writeln!(out, "stations = [{:.2}, {:.2}, {apart:.2}]", -apart, dice.between(-2.0, 2.0))
        }
    };
    // Every third web is lightened, too.
    if seed % 3 == 2 {
        out += "web = \"windows\"\n";
    }
    // From above the mount's pad to below the valleys between the clips.
    let (low, high) = (0.5 * height + 5.0, offset - 0.5 * barrel - 7.0);
    let thickness = dice.between(2.0, 4.5);
    let clearance = dice.between(0.3, 1.4);
    let y = low + (high - low) * dice.between(0.35, 0.65);
    let side = if dice.below(2) == 0 { -1.0 } else { 1.0 };
    let pivot = side * (0.5 * mount_length + dice.between(10.0, 30.0));
    let tip = side * dice.between(1.0, 0.5 * mount_length - 2.0);
    let reach = (pivot - tip).abs();
    // Most of what the room allows the tip to swing.
    let swing = (0.8 * (0.5 * (high - low) - 0.5 * thickness - clearance).max(0.6) / reach).atan().to_degrees();
    let middle = if side < 0.0 { 0.0 } else { 180.0 } + swing * dice.between(-0.4, 0.4);
    let (from, to) = (middle - swing * dice.between(0.3, 1.0), middle + swing * dice.between(0.3, 1.0));
    let _ = write!(
        out,
        "\n[[keep_out]]\nname = \"lever\"\nsweep = {{ pivot = [{y:.3}, {pivot:.3}], reach = {reach:.3}, \
         thickness = {thickness:.3}, width = {:.3}, across = {:.3}, from = {from:.4}, to = {to:.4} }}\n\
         clearance = {clearance:.3}\n\n[fit]\nsnap_on = {{ at_most = \"90 N\" }}\nhold = {{ safety = 1.2 }}\n\n[material]\n\
         print = \"{}\"\n\n[finish]\nchamfer = {}\n",
        dice.between(4.0, 16.0),
        dice.between(-3.0, 3.0),
        ["petg", "pa12", "pp"][dice.below(3)],
        [0.0, 0.3, 0.4][dice.below(3)],
    );
    out
}
