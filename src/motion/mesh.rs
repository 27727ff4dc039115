//! What a tooth mesh loses.

/// Efficiencies of one mesh; the basic efficiency of a set is η₀ = external · internal
/// (paired: external² · internal).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeshEfficiency {
    /// Of two external gears, such as sun and planet.
    pub external: f64,
    /// Of a planet in a ring.
    pub internal: f64,
}

impl Default for MeshEfficiency {
    fn default() -> Self {
        Self { external: 0.990, internal: 0.995 }
    }
}
