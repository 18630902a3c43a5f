//! Loads and reactions of a holder in its side view: the case in which load and weight both pull out of the mouths.

use gripwright_input::Spec;
use gripwright_mechanics::{ToolSupport, Wrench};

use crate::{
    design::Design,
    design::holder_plan::HolderPlan,
    design::side_loads::{SideForce, SideLoads, SideReaction},
    limits::design_limits::ToolDemand,
    limits::tool_load::{StationLayout, tool_support},
};

/// Loads and reactions of every holder, in their order. A holder without tools has none.
pub fn side_loads(spec: &Spec, design: &Design) -> Vec<SideLoads> {
    let demands = ToolDemand::all(spec);
    design.holders.iter().filter_map(|holder| loads_of_holder(spec, design, holder, &demands)).collect()
}

fn loads_of_holder(spec: &Spec, design: &Design, holder: &HolderPlan, demands: &[ToolDemand]) -> Option<SideLoads> {
    let rows = design.fit.iter().filter(|row| row.letter == holder.letter);
    let tools = rows.filter_map(|row| demands.get(row.tool));
    let most = tools.max_by(|a, b| a.across_n.total_cmp(&b.across_n))?;
    let support = tool_support(&StationLayout::new(spec).at_offset(holder.offset_mm), holder.clip_length_mm);
    let forces = most.load.out_of_the_mouth(&support);
    let points: Vec<_> = forces.iter().map(|force| force.1).collect();
    let on_clips = support.station_wrenches(&points);
    let [_, out, along] = support.directions();
    let clips = support.stations.iter().zip(&on_clips);
    let clips = clips.map(|(station, wrench)| reaction(station.at_mm, *wrench, out, along)).collect();
    let mount = reaction(0.0, support.mount_wrench(&on_clips), [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]);
    let loads = forces.iter().map(|(cause, point)| SideForce {
        cause,
        at_mm: along_axis_mm(&support, point.at_mm),
        out_n: dot(point.force_n, out),
    });
    let tool = spec.tools.get(most.index)?.name.clone();
    Some(SideLoads { letter: holder.letter, tool, loads: loads.collect(), clips, mount })
}

/// Reaction to a wrench at a place: it holds the load in balance.
fn reaction(at_mm: f64, load: Wrench, out: [f64; 3], along: [f64; 3]) -> SideReaction {
    SideReaction {
        at_mm,
        toward_body_n: dot(load.force_n, out),
        along_n: 0.0 - dot(load.force_n, along),
        // A moment about +x turns +y toward +z.
        moment_nmm: 0.0 - load.moment_nmm[0],
    }
}

/// Place of a point along the tool's axis, mm.
fn along_axis_mm(support: &ToolSupport, point: [f64; 3]) -> f64 {
    let [_, _, along] = support.directions();
    let origin = support.point_at(0.0);
    dot(std::array::from_fn(|i| point[i] - origin[i]), along)
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sizing::size;

    #[test]
    fn loads_and_reactions_are_in_balance() {
        let materials = gripwright_input::MaterialLibrary::built_in();
        let loaded = gripwright_input::read_spec(gripwright_input::STARTER_SPEC, "starter.toml", &materials).unwrap();
        let design = size(&loaded.spec).unwrap();
        let all = side_loads(&loaded.spec, &design);
        assert_eq!(all.len(), design.holders.len());
        for case in &all {
            let load_n: f64 = case.loads.iter().map(|force| force.out_n).sum();
            let held_n: f64 = case.clips.iter().map(|clip| clip.toward_body_n).sum();
            let moment: f64 = case.loads.iter().map(|force| force.at_mm * force.out_n).sum();
            let held: f64 = case.clips.iter().map(|clip| clip.at_mm * clip.toward_body_n - clip.moment_nmm).sum();
            assert!(load_n > 0.0 && (load_n - held_n).abs() < 1e-9, "{load_n} {held_n}");
            assert!((moment - held).abs() < 1e-6, "{moment} {held}");
            // The starter's tool axis is parallel to the body's, so that nothing acts along.
            assert!((case.mount.toward_body_n - load_n).abs() < 1e-9);
        }
    }
}
