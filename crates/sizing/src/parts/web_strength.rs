//! Strength of the web: strain and sway under the loads, and the windows that it bears.

use gripwright_input::{Parting, Tool, WebStyle};
use gripwright_mechanics::{WebBeam, WebBending, WebPosts};
use gripwright_section::{DEEPEST_VALLEY_MM, VALLEY_SHARE};

use crate::{
    design::holder_plan::{PointMovement, StationPlan, Web, WebPlan},
    design::sizes::Size,
    parts::holder_brief::{HolderBrief, HolderLoads},
    parts::keep_out::clearance::ClearedWeb,
    parts::layout::{WebEnds, span_mm},
    parts::web_load::{mean_width_lost_mm, worst_working_load},
    parts::web_windows::{Windows, largest_windows},
};

/// Share of the aim that windows in the web may use up.
const SHARE_OF_AIM: f64 = 0.05;

/// The web of one holder as beams, with the loads that it bears.
pub(crate) struct WebStrength<'a> {
    brief: &'a HolderBrief<'a>,
    below_mount_mm: f64,
    web_mm: f64,
    width_mm: f64,
    /// The web below the valleys, and the posts above it.
    beam: WebBeam,
    necks: WebBeam,
    /// Bending of the web without windows.
    solid: WebBending,
    /// Point of the tool at which the load turns it most, along its axis from over the beam's middle, mm.
    load_at_mm: f64,
    /// Point of the tool that must be true, alike; over the clips without one.
    ahead_mm: f64,
}

/// Heights of the web: between the pads, and of the valleys between the clips, mm.
struct WebHeights {
    web_mm: f64,
    valley_mm: f64,
}

/// Depths of the web along the body: as a whole, and of the posts together, mm.
struct WebDepths {
    whole_mm: f64,
    posts_mm: f64,
}

impl<'a> WebStrength<'a> {
    /// `web_mm` is the length of the web between the pads, mm.
    pub(crate) fn new(
        brief: &'a HolderBrief<'a>,
        size: &Size,
        ends: &WebEnds<'_>,
        stations: &[StationPlan],
        cleared: &ClearedWeb,
        web_mm: f64,
    ) -> Self {
        let width_mm = 2.0 * size.clip.back().neck_half_width_mm();
        let lengths: f64 = stations.iter().map(|s| s.length_mm).sum();
        let valleys = matches!(cleared.web, WebPlan::Side(_)) && stations.len() > 1;
        let valley_mm = if valleys { DEEPEST_VALLEY_MM.min(VALLEY_SHARE * web_mm) } else { 0.0 };
        let depths = WebDepths {
            whole_mm: span_mm(brief.layout, size.length_mm).min(ends.mount_length_mm).min(cleared.left_mm),
            posts_mm: lengths.min(cleared.left_mm),
        };
        let [beam, necks] = beams(&WebHeights { web_mm, valley_mm }, width_mm, &depths, ends.below_clip_mm);
        // The load acts where it turns the tool most: at the aimed point, or in the middle of the clips if that is
        // farther out.
        let clips_mm = stations.iter().map(|s| s.at_mm * s.length_mm).sum::<f64>() / lengths;
        let beam_mm = beam_middle_mm(brief.finish.parting, clips_mm);
        let middle_mm = clips_mm - beam_mm;
        let over_clips_mm = if brief.finish.parting == Parting::End { middle_mm } else { 0.0 };
        let ahead_mm = brief.layout.aim.map_or(over_clips_mm, |aim| aim.ahead_mm - beam_mm);
        let load_at_mm = if middle_mm.abs() > ahead_mm { middle_mm.abs() } else { ahead_mm };
        let tools: Vec<&Tool> = size.tools.iter().filter_map(|t| brief.tools.get(*t)).collect();
        let solid = WebBending {
            pieces: pieces(&beam, &necks, ends.below_mount_mm, None),
            drafted_mm: mean_width_lost_mm(beam.depth_mm, brief.limits),
            load: worst_working_load(&tools, brief.shock, load_at_mm),
            // The soft corner of the material.
            modulus_mpa: brief.limits.elastic.modulus_mpa.least,
            poisson: brief.limits.elastic.poisson,
        };
        let below_mount_mm = ends.below_mount_mm;
        Self { brief, below_mount_mm, web_mm, width_mm, beam, necks, solid, load_at_mm, ahead_mm }
    }

    fn bending(&self, windows: Option<&Windows>) -> WebBending {
        WebBending { pieces: pieces(&self.beam, &self.necks, self.below_mount_mm, windows), ..self.solid }
    }

    /// The largest windows that strain, sway and aim allow; none unless the spec asks for windows.
    ///
    pub(crate) fn windows(&self, web_plan: &WebPlan, loads: &HolderLoads) -> Option<Windows> {
        let (brief, layout) = (self.brief, self.brief.layout);
        let (WebPlan::Side(outline), WebStyle::Windows) = (web_plan, layout.web) else { return None };
        let across_n = loads.across_n;
        let solid = self.solid.state_under(across_n, self.load_at_mm);
        let supports_mm = loads.working.supports_mm();
        largest_windows(outline, brief.limits.least_wall_mm, brief.finish.chamfer_mm, |windows| {
            let bending = self.bending(Some(windows));
            let state = bending.state_under(across_n, self.load_at_mm);
            let more_mm = state.displacement_mm(self.ahead_mm).abs() - solid.displacement_mm(self.ahead_mm).abs();
            state.strain.max(bending.strain_in_plane(brief.hold_safety)) <= brief.limits.strain_limit
                && layout
                    .sway_at_most_mm
                    .is_none_or(|most| bending.displacement_mm(self.width_mm, 0.0) + supports_mm <= most)
                && layout.aim.is_none_or(|aim| more_mm <= SHARE_OF_AIM * aim.within_mm)
        })
    }

    /// The web with its windows under the loads.
    pub(crate) fn finished(&self, windows: Option<&Windows>, loads: &HolderLoads) -> Web {
        let bending = self.bending(windows);
        let state = bending.state_under(loads.across_n, self.load_at_mm);
        Web {
            length_mm: self.web_mm,
            width_mm: self.beam.width_mm,
            depth_mm: self.beam.depth_mm,
            strain: state.strain,
            strain_limit: self.brief.limits.strain_limit,
            sway_mm: state.sway_mm,
            turn_rad: state.turn_rad,
            tip: PointMovement { web_mm: state.displacement_mm(self.ahead_mm).abs(), ..loads.tip },
            working: PointMovement { web_mm: bending.displacement_mm(self.width_mm, 0.0), ..loads.working },
            working_limit_mm: self.brief.layout.sway_at_most_mm,
            bending,
        }
    }
}

/// Middle of the web's depth that counts, along the body from the mount's middle, mm.
///
/// Flush with the mount, a shorter clip has the web below it, and a longer one that over the mount.
fn beam_middle_mm(parting: Parting, clips_middle_mm: f64) -> f64 {
    match parting {
        Parting::End => clips_middle_mm.min(0.0),
        Parting::Middle | Parting::Cut => 0.0,
    }
}

/// The web below the valleys between the clips, as deep as its shorter end, and the posts above it that carry one clip each.
fn beams(heights: &WebHeights, width_mm: f64, depths: &WebDepths, below_clip_mm: f64) -> [WebBeam; 2] {
    let length_mm = heights.web_mm - heights.valley_mm;
    [
        WebBeam { length_mm, width_mm, depth_mm: depths.whole_mm, lever_mm: below_clip_mm + heights.valley_mm },
        WebBeam { length_mm: heights.valley_mm, width_mm, depth_mm: depths.posts_mm, lever_mm: below_clip_mm },
    ]
}

/// Pieces of the web from the mount upward: one solid piece, or solid pieces with posts between windows; then the posts
/// between the valleys.
fn pieces(beam: &WebBeam, necks: &WebBeam, mount_pad_mm: f64, windows: Option<&Windows>) -> [WebPosts; 4] {
    let none = WebPosts::without_windows(WebBeam { length_mm: 0.0, ..*beam });
    let Some(windows) = windows else {
        return [WebPosts::without_windows(*beam), none, none, WebPosts::without_windows(*necks)];
    };
    let foot = (windows.heights_mm[0] - mount_pad_mm).clamp(0.0, beam.length_mm);
    let head = (windows.heights_mm[1] - mount_pad_mm).clamp(foot, beam.length_mm);
    let whole =
        |from: f64, to: f64| WebBeam { length_mm: to - from, lever_mm: beam.lever_mm + beam.length_mm - to, ..*beam };
    let count = windows.outlines.iter().fold(1, |n, _| n + 1);
    let post = WebBeam { depth_mm: windows.post_mm, ..whole(foot, head) };
    // Where the web is deeper than what counts of it, posts far apart must not count for more than that whole.
    let apart_mm = windows.apart_mm.min((beam.depth_mm - post.depth_mm).max(0.5 * beam.depth_mm));
    [
        WebPosts::without_windows(whole(0.0, foot)),
        WebPosts { post, count, apart_mm },
        WebPosts::without_windows(whole(head, beam.length_mm)),
        WebPosts::without_windows(*necks),
    ]
}
