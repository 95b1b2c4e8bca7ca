//! Points and directions: three numbers, and the few operations on them that the solids need.

/// A point in millimetres, or a direction.
pub type Vector = [f64; 3];

/// `a + b`
pub fn plus(a: Vector, b: Vector) -> Vector {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

/// `a - b`
pub fn minus(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// `a` times a number.
pub fn times(a: Vector, factor: f64) -> Vector {
    a.map(|value| value * factor)
}

/// The inner product.
pub fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// The outer product: square to both, right-handed.
pub fn cross(a: Vector, b: Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// How long it is.
pub fn length(a: Vector) -> f64 {
    dot(a, a).sqrt()
}

/// The same direction with length 1; `None` if it is too short to have one.
pub fn unit(a: Vector) -> Option<Vector> {
    let long = length(a);
    (long > f64::MIN_POSITIVE && long.is_finite()).then(|| times(a, 1.0 / long))
}

/// The point on the way from `a` (at 0) to `b` (at 1).
pub fn between(a: Vector, b: Vector, share: f64) -> Vector {
    plus(a, times(minus(b, a), share))
}

/// The vector area of a polygon: its direction is the side from which the ring runs counter-clockwise, its length the area.
pub fn ring_area(ring: &[Vector]) -> Vector {
    let Some(&first) = ring.first() else { return [0.0; 3] };
    let fan = ring.windows(2).map(|pair| cross(minus(pair[0], first), minus(pair[1], first)));
    times(fan.fold([0.0; 3], plus), 0.5)
}
