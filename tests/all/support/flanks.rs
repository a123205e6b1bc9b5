//! Flanks of spur gears point by point, with jaws and pins laid on by search: a slow twin of what is read of teeth.
//!
//! Nothing is taken from the library: a flank is an involute turned so that the tooth has its thickness at the pitch
//! circle; jaws stand where the flank reaches farthest across, a pin where its nearest point of the flank is half its
//! diameter away.

use std::f64::consts::{FRAC_PI_2, PI};

/// A gear as it is cut.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DrawnGear {
    pub(crate) is_ring: bool,
    pub(crate) teeth: u16,
    pub(crate) module: f64,
    /// In radians.
    pub(crate) angle: f64,
    pub(crate) shift: f64,
    pub(crate) addendum: f64,
    pub(crate) dedendum: f64,
    /// As an arc at the pitch circle.
    pub(crate) thinning: f64,
}

impl DrawnGear {
    pub(crate) fn count(&self) -> f64 {
        f64::from(self.teeth)
    }

    fn pitch_radius(&self) -> f64 {
        self.count() * self.module / 2.0
    }

    fn base_radius(&self) -> f64 {
        self.pitch_radius() * self.angle.cos()
    }

    fn outward(&self) -> f64 {
        if self.is_ring { -1.0 } else { 1.0 }
    }

    pub(crate) fn tip_diameter(&self) -> f64 {
        self.module * (self.count() + 2.0 * self.shift + self.outward() * 2.0 * self.addendum)
    }

    pub(crate) fn root_diameter(&self) -> f64 {
        self.module * (self.count() + 2.0 * self.shift - self.outward() * 2.0 * self.dedendum)
    }

    /// Half the angle of a tooth at a radius.
    pub(crate) fn half_tooth(&self, radius: f64) -> f64 {
        let thickness =
            self.module * (FRAC_PI_2 + self.outward() * 2.0 * self.shift * self.angle.tan()) - self.thinning;
        let rolled = |angle: f64| angle.tan() - angle;
        let at = (self.base_radius() / radius).min(1.0).acos();
        thickness / (2.0 * self.pitch_radius()) + self.outward() * (rolled(self.angle) - rolled(at))
    }

    /// What a caliper reads over so many teeth, and the radius at which its jaws touch.
    pub(crate) fn span(&self, spanned: u16) -> (f64, f64) {
        let half = |radius: f64| {
            let angle = (f64::from(spanned) - 1.0) * PI / self.count() + self.half_tooth(radius);
            -radius * angle.sin()
        };
        let touch = least(half, self.base_radius(), 3.0 * self.pitch_radius());
        (-2.0 * half(touch), touch)
    }

    /// What is read over pins, in a ring between them, and the radius at which they touch.
    pub(crate) fn pins(&self, pin: f64) -> (f64, f64) {
        let flank = |middle: f64, radius: f64| {
            let angle = PI / self.count() - self.half_tooth(radius);
            (middle * middle + radius * radius - 2.0 * middle * radius * angle.cos()).sqrt()
        };
        let touch = |middle: f64| least(|radius| flank(middle, radius), self.base_radius(), 2.0 * self.pitch_radius());
        // Outward the pin gets room between external teeth; between those of a ring it loses it.
        let (mut near, mut far) = (self.base_radius(), 1.5 * self.pitch_radius());
        for _ in 0..60 {
            let middle = f64::midpoint(near, far);
            let has_room = flank(middle, touch(middle)) > pin / 2.0;
            if has_room == self.is_ring {
                near = middle;
            } else {
                far = middle;
            }
        }
        let middle = f64::midpoint(near, far);
        let chord = if self.teeth.is_multiple_of(2) { 1.0 } else { (FRAC_PI_2 / self.count()).cos() };
        (2.0 * middle * chord + self.outward() * pin, touch(middle))
    }
}

/// Where a function with one valley is least.
fn least(of: impl Fn(f64) -> f64, mut from: f64, mut to: f64) -> f64 {
    for _ in 0..100 {
        let (a, b) = (from + (to - from) / 3.0, to - (to - from) / 3.0);
        if of(a) < of(b) {
            to = b;
        } else {
            from = a;
        }
    }
    f64::midpoint(from, to)
}
