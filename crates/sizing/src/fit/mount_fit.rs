//! Fit of the mount on the body: figures at every corner, and odds.

use std::slice;

use gripwright_mechanics::Interval;

use crate::{
    design::fit_row::{FitFigures, Odds},
    design::material_effect::MaterialEffect,
    fit::fit_context::{FitContext, FitInput},
    fit::material_runs::{GrippedSection, material_effect},
    fit::odds::{bands, odds},
    fit::response_surface::{ProcessSample, ResponseSurface},
    model::mount_model::MountModel,
    model::response::{Response, unit_run},
    model::unit_response::UnitResponse,
    search::mount_evaluation::MountTask,
    shape::mount_shape::MountShape,
};

impl FitContext<'_> {
    /// Figures of the mount, from the responses on the least and the greatest body, and its odds.
    ///
    /// Push and strain are those on the greatest body, hold is that on the least. `None` when the mount cannot be
    /// drawn.
    pub(crate) fn mount(
        &self,
        task: &MountTask<'_>,
        shape: &MountShape,
        least: &Response,
        greatest: &Response,
    ) -> Option<(FitFigures, Option<Odds>)> {
        let on_body = FitContext { context: task.context, ..*self };
        let model = task.model(shape)?;
        let input = || on_body.mount_input(task, shape, greatest);
        let (input, surface) = rayon::join(input, || on_body.mount_surface(task, shape));
        let input = input?;
        let worst = Response {
            pull_out_n: least.pull_out_n,
            grip_n: least.grip_n,
            axial_n: least.axial_n,
            seat_mm: Interval {
                least: least.seat_mm.least.min(greatest.seat_mm.least),
                greatest: least.seat_mm.greatest.max(greatest.seat_mm.greatest),
            },
            ..greatest.clone()
        };
        let mut figures = on_body.figures(&worst, model.scale(), &input);
        let needs = on_body.needs(figures.across_needed_n, figures.along_needed_n);
        let ranges = on_body.sampling_ranges(model.scale());
        let found = surface.as_ref().map(|s| {
            // The spread of the body's measurement is one of width: half of it on each side.
            let nominal = Interval::exactly(-shape.gap_mm);
            odds(slice::from_ref(s), nominal, 2.0 * self.brief.body_spread_mm, &needs, &ranges, u64::MAX)
        });
        figures.bands = surface.as_ref().and_then(|s| bands(slice::from_ref(s), -shape.gap_mm, &ranges, u64::MAX - 1));
        Some((figures, found))
    }

    /// Needs and geometry of the mount. `None` when it cannot be drawn.
    fn mount_input(&self, task: &MountTask<'_>, shape: &MountShape, greatest: &Response) -> Option<FitInput> {
        let held = || Some((task.hold_uses(shape)?, task.until_it_lets_go(shape)?));
        let (held, material) = rayon::join(held, || self.mount_material(task, shape, greatest.strain));
        let ([hold, remains], lets_go) = held?;
        Some(FitInput {
            across_n: task.loads.across_n,
            along_n: task.loads.along_n,
            hold,
            lets_go,
            remains,
            opened: None,
            radius_mm: task.body_section.mean_radius_mm,
            interference_mm: -shape.gap_mm,
            aim_besides_mm: 0.0,
            aim_is_known: true,
            material: material?,
        })
    }

    /// Effect of the material on the push on the greatest body and the pull off the least one.
    fn mount_material(&self, task: &MountTask<'_>, shape: &MountShape, strain: f64) -> Option<MaterialEffect> {
        let models = task.evaluated_models(shape)?;
        let on = |over_mm: f64| -> Vec<GrippedSection<'_>> {
            let gripped =
                |model| GrippedSection { clip: MountModel::clip(model), rigid: model.body().clone().grown(over_mm) };
            models.iter().map(gripped).collect()
        };
        let scale = models.first()?.scale();
        material_effect(&on(task.spread_mm), &on(-task.spread_mm), scale, strain, self.context)
    }

    /// Response of the mount over the bodies that may come. `None` when some of them do not go in.
    fn mount_surface(&self, task: &MountTask<'_>, shape: &MountShape) -> Option<ResponseSurface> {
        let limits = self.context.limits;
        let reach = Interval::between(-shape.gap_mm - task.spread_mm, task.spread_mm - shape.gap_mm);
        let solve = |sample: &ProcessSample| {
            let changed = MountShape { wall_mm: shape.wall_mm + sample.wall_mm, ..*shape };
            let mount = task.model(&changed)?;
            let body = mount.body().clone().grown(sample.interference_mm + shape.gap_mm);
            UnitResponse::from_run(&unit_run(mount.clip(), &body, sample.friction, limits))
        };
        let radius_mm = task.body_section.mean_radius_mm;
        ResponseSurface::new(reach, radius_mm, &self.brief.spreads, limits.elastic.friction, solve)
    }
}
