//! The product structure that gives a solid its name, its units and its place in the schema.

use super::instances::{Id, Instances};

/// Distance (mm) below which readers may take two points for one: far above our rounding error and far below any feature.
const UNCERTAINTY_MM: f64 = 1e-6;

/// What all products of a file share.
pub(super) struct Setting {
    product_context: Id,
    definition_context: Id,
    representation_context: Id,
    origin: Id,
}

impl Setting {
    /// Writes the contexts: application, millimetres and radians, world origin.
    pub(super) fn write(out: &mut Instances) -> Self {
        let application = out.entity("APPLICATION_CONTEXT", |p| {
            p.text("core data for automotive mechanical design processes");
        });
        out.entity("APPLICATION_PROTOCOL_DEFINITION", |p| {
            p.text("international standard").text("automotive_design").raw("2000").id(application);
        });
        let product_context = out.entity("PRODUCT_CONTEXT", |p| {
            p.text("").id(application).text("mechanical");
        });
        let definition_context = out.entity("PRODUCT_DEFINITION_CONTEXT", |p| {
            p.text("part definition").id(application).text("design");
        });
        let representation_context = representation_context(out);
        let world = gripwright_solid::Frame { origin: [0.0; 3], x: [1.0, 0.0, 0.0], z: [0.0, 0.0, 1.0] };
        let origin = super::geometry::placement(out, &world);
        Self { product_context, definition_context, representation_context, origin }
    }
}

fn representation_context(out: &mut Instances) -> Id {
    let length = unit(out, "LENGTH_UNIT", ".MILLI.", ".METRE.");
    let plane_angle = unit(out, "PLANE_ANGLE_UNIT", "$", ".RADIAN.");
    let solid_angle = unit(out, "SOLID_ANGLE_UNIT", "$", ".STERADIAN.");
    let uncertainty = out.entity("UNCERTAINTY_MEASURE_WITH_UNIT", |p| {
        p.typed("LENGTH_MEASURE", |p| {
            p.real(UNCERTAINTY_MM);
        });
        p.id(length).text("distance_accuracy_value").text("greatest gap between curves, surfaces and vertices");
    });
    out.complex(|p| {
        p.partial("GEOMETRIC_REPRESENTATION_CONTEXT", |p| {
            p.raw("3");
        });
        p.partial("GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT", |p| {
            p.ids(&[uncertainty]);
        });
        p.partial("GLOBAL_UNIT_ASSIGNED_CONTEXT", |p| {
            p.ids(&[length, plane_angle, solid_angle]);
        });
        p.partial("REPRESENTATION_CONTEXT", |p| {
            p.text("").text("3D");
        });
    })
}

/// A unit of the international system. The parts of a complex instance stand in alphabetical order.
fn unit(out: &mut Instances, kind: &str, prefix: &str, name: &str) -> Id {
    let named_first = kind < "NAMED_UNIT";
    out.complex(|p| {
        if named_first {
            p.partial(kind, |_| {});
        }
        p.partial("NAMED_UNIT", |p| {
            p.raw("*");
        });
        if !named_first && kind < "SI_UNIT" {
            p.partial(kind, |_| {});
        }
        p.partial("SI_UNIT", |p| {
            p.raw(prefix).raw(name);
        });
        if kind > "SI_UNIT" {
            p.partial(kind, |_| {});
        }
    })
}

/// Writes the product of one part around its solid; returns the product.
pub(super) fn product(out: &mut Instances, setting: &Setting, name: &str, solid: Id) -> Id {
    let product = out.entity("PRODUCT", |p| {
        p.text(name).text(name).text("").ids(&[setting.product_context]);
    });
    let formation = out.entity("PRODUCT_DEFINITION_FORMATION", |p| {
        p.text("1").text("").id(product);
    });
    let definition = out.entity("PRODUCT_DEFINITION", |p| {
        p.text("design").text("").id(formation).id(setting.definition_context);
    });
    let shape = out.entity("PRODUCT_DEFINITION_SHAPE", |p| {
        p.text("").text("").id(definition);
    });
    let representation = out.entity("ADVANCED_BREP_SHAPE_REPRESENTATION", |p| {
        p.text(name).ids(&[setting.origin, solid]).id(setting.representation_context);
    });
    out.entity("SHAPE_DEFINITION_REPRESENTATION", |p| {
        p.id(shape).id(representation);
    });
    product
}

/// What AP214's global rules ask of every product: a category and an organization that owns its identity.
pub(super) fn file_wide_facts(out: &mut Instances, products: &[Id]) {
    out.entity("PRODUCT_RELATED_PRODUCT_CATEGORY", |p| {
        p.text("part").text("").ids(products);
    });
    let organization = out.entity("ORGANIZATION", |p| {
        p.text("").text("not stated").text("");
    });
    let role = out.entity("ORGANIZATION_ROLE", |p| {
        p.text("id owner");
    });
    out.entity("APPLIED_ORGANIZATION_ASSIGNMENT", |p| {
        p.id(organization).id(role).ids(products);
    });
}
