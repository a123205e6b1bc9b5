//! Which lever stands for each basic set of a train?
//!
//! Seen from the carrier all members of a basic set turn in fixed proportions, so
//! `w = w_C + s (p - p_C)` with one slope s for the whole set: drawn against the positions p the
//! speeds lie on one straight line, and the set acts like a rigid bar, its lever. Two levers that
//! share two bodies are one lever. Positions are integers without a common factor, the
//! leftmost 0.
//! Source: Benford and Leising (1981), "The Lever Analogy", SAE paper 810102 (from memory).

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, Signed, Zero};

use crate::exact::Fraction;
use crate::gearset::{Bodies, Gearset, MemberId, MeshId};

/// The lever of one basic set: one carrier, and the members that meshes on it connect.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lever {
    /// The carrier of the meshes; the case for shafts on fixed axes.
    pub carrier: MemberId,
    /// The meshes, in the order of the description.
    pub meshes: Vec<MeshId>,
    /// The carrier and the central members, from left to right; shafts on fixed axes are among them.
    pub nodes: Vec<LeverNode>,
    /// The planets, in the order of the description, where their own speeds would lie. The speed of
    /// a bevel planet is told against its carrier: `s (p - p_C)`.
    pub planets: Vec<LeverNode>,
    /// Whether the meshes and joins leave no motion against the carrier: then all positions are 0.
    pub is_stiff: bool,
}

/// A member on a lever.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeverNode {
    /// The member; of members joined for good the first of the description that is on the lever.
    pub member: MemberId,
    /// The other members on the lever that are joined with it for good.
    pub joined: Vec<MemberId>,
    /// Where it is on the lever.
    pub position: Fraction,
}

impl LeverNode {
    /// Whether a member is this node, alone or joined with others.
    pub fn has(&self, member: MemberId) -> bool {
        self.member == member || self.joined.contains(&member)
    }
}

impl Lever {
    /// The node of a member, planets included.
    pub fn node(&self, member: MemberId) -> Option<&LeverNode> {
        self.nodes.iter().chain(&self.planets).find(|node| node.has(member))
    }

    /// How far a member stands from the carrier, positive to the right: its speed against the carrier is this times
    /// the slope.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, kinematics::levers};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// // With a sun of 24 and a ring of 60 they stand as 60 to 24, one on either side.
    /// let arms = ["sun", "ring"].map(|name| levers(&set)[0].arm(set.member_named(name).unwrap()).to_string());
    /// assert_eq!(arms, ["-5", "2"]);
    /// ```
    ///
    /// # Panics
    /// If the member is not on the lever.
    pub fn arm(&self, member: MemberId) -> Fraction {
        let place = |member| &self.node(member).expect("the member is on the lever").position;
        place(member) - place(self.carrier)
    }
}

/// Levers that share two bodies with one another, as one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MergedLever {
    /// The levers that it is made of, by their places in the list of [`levers`].
    pub merged: Vec<usize>,
    /// The nodes, from left to right.
    pub nodes: Vec<LeverNode>,
}

/// The lever of each basic set, in the order of the first mesh; a set whose gears are all joined to its arm for good has none.
///
/// The first member of a lever in the description that is not its carrier lies left of the carrier.
///
/// # Examples
/// ```
/// use toothmark::{description, kinematics::levers};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// // Sun 24 and ring 60: their distances from the carrier are as 60 to 24.
/// let nodes: Vec<_> = levers(&set)[0].nodes.iter()
///     .map(|node| format!("{} {}", set.member(node.member).name(), node.position))
///     .collect();
/// assert_eq!(nodes, ["sun 0", "carrier 5", "ring 7"]);
/// ```
pub fn levers(set: &Gearset) -> Vec<Lever> {
    let bodies = Bodies::for_good(set);
    let mut found: Vec<Lever> = Vec::new();
    for mesh in set.mesh_ids() {
        if found.iter().all(|lever| !lever.meshes.contains(&mesh)) {
            found.push(BasicSet::of(set, &bodies, mesh).lever(set, &bodies));
        }
    }
    // Where all gears of a set are joined to its arm for good nothing turns against anything.
    found.retain(|lever| !lever.planets.is_empty() || lever.nodes.iter().any(|node| !node.has(lever.carrier)));
    found
}

/// The levers, those that share two bodies as one.
///
/// Stiff levers are left as they are, and so are two whose further common bodies would not agree.
///
/// # Examples
/// ```
/// use toothmark::{description, kinematics::{levers, merged_levers}};
/// let set = description::read(description::example("cross-coupled-two-set").unwrap()).unwrap();
/// assert_eq!([levers(&set).len(), merged_levers(&set).len()], [2, 1]);
/// assert_eq!(merged_levers(&set)[0].nodes.len(), 4);
/// ```
pub fn merged_levers(set: &Gearset) -> Vec<MergedLever> {
    let bodies = Bodies::for_good(set);
    let mut merged: Vec<MergedLever> = Vec::new();
    let mut stiff = Vec::new();
    for (index, lever) in levers(set).into_iter().enumerate() {
        let list = if lever.is_stiff { &mut stiff } else { &mut merged };
        list.push(MergedLever { merged: vec![index], nodes: lever.nodes });
    }
    while let Some((kept, taken, nodes)) = first_merger(&bodies, &merged) {
        let gone = merged.remove(taken);
        merged[kept].merged.extend(gone.merged);
        merged[kept].nodes = nodes;
    }
    merged.extend(stiff);
    merged.sort_by_key(|lever| lever.merged[0]);
    merged
}

fn first_merger(bodies: &Bodies, levers: &[MergedLever]) -> Option<(usize, usize, Vec<LeverNode>)> {
    (0..levers.len()).find_map(|kept| {
        (kept + 1..levers.len())
            .find_map(|taken| Some((kept, taken, together(bodies, &levers[kept].nodes, &levers[taken].nodes)?)))
    })
}

/// The nodes of two levers on one line, if they share two bodies that stand apart on both.
fn together(bodies: &Bodies, first: &[LeverNode], second: &[LeverNode]) -> Option<Vec<LeverNode>> {
    let in_first = |node: &LeverNode| first.iter().find(|other| bodies.same(other.member, node.member));
    let shared: Vec<[&Fraction; 2]> =
        second.iter().filter_map(|node| Some([&in_first(node)?.position, &node.position])).collect();
    let [from, was] = *shared.first()?;
    let apart = shared.iter().find(|[to, other]| *to != from && *other != was)?;
    // Speeds lie on a straight line over either scale: one affine map, fixed by two bodies, takes the second to the
    // first, and any further common body has to agree with it.
    let scale = (apart[0] - from) / (apart[1] - was);
    let moved = |position: &Fraction| from + (position - was) * &scale;
    if shared.iter().any(|[to, other]| **to != moved(other)) {
        return None;
    }
    let mut nodes = first.to_vec();
    for node in second {
        let known = nodes.iter().position(|other| bodies.same(other.member, node.member));
        match known {
            None => nodes.push(LeverNode { position: moved(&node.position), ..node.clone() }),
            Some(at) => {
                let here = &mut nodes[at];
                let further = node.joined.iter().chain([&node.member]).filter(|&&member| !here.has(member)).copied();
                let further: Vec<MemberId> = further.collect();
                here.joined.extend(further);
            }
        }
    }
    let left = nodes[0].member;
    arrange(&mut nodes, &mut [], left);
    Some(nodes)
}

/// The bodies that meshes on one carrier connect, with their speeds against it.
struct BasicSet {
    carrier: MemberId,
    meshes: Vec<MeshId>,
    /// Members with a gear in these meshes, each with the speed of its body against the carrier.
    turning: Vec<Turning>,
    is_stiff: bool,
}

struct Turning {
    member: MemberId,
    against_carrier: Fraction,
}

impl BasicSet {
    /// All that is connected with a mesh: from its first gear, which turns once, mesh by mesh.
    fn of(set: &Gearset, bodies: &Bodies, mesh: MeshId) -> Self {
        let carrier = set.mesh(mesh).carrier();
        let first = set.gear(set.mesh(mesh).gears().first).member();
        let mut found = Self { carrier, meshes: Vec::new(), turning: Vec::new(), is_stiff: false };
        found.add(first, Fraction::one());
        let here = |mesh: &MeshId| bodies.same(set.mesh(*mesh).carrier(), carrier);
        let mut left: Vec<MeshId> = set.mesh_ids().filter(here).collect();
        while let Some(at) = left.iter().position(|&mesh| found.touches(bodies, set, mesh)) {
            let mesh = left.remove(at);
            found.meshes.push(mesh);
            found.pass(set, bodies, mesh);
        }
        found.meshes.sort_unstable();
        found.is_stiff |= found.turning.iter().any(|turning| bodies.same(turning.member, carrier));
        found
    }

    fn add(&mut self, member: MemberId, against_carrier: Fraction) {
        self.turning.push(Turning { member, against_carrier });
    }

    fn speed(&self, bodies: &Bodies, member: MemberId) -> Option<&Fraction> {
        let found = self.turning.iter().find(|turning| bodies.same(turning.member, member));
        found.map(|turning| &turning.against_carrier)
    }

    fn touches(&self, bodies: &Bodies, set: &Gearset, mesh: MeshId) -> bool {
        set.matrix().row(mesh).gears.iter().any(|gear| self.speed(bodies, gear.member).is_some())
    }

    /// Takes in both members of a mesh of which one is known, by their speeds k against the carrier:
    /// `z_a k_a + z_b k_b = 0`.
    fn pass(&mut self, set: &Gearset, bodies: &Bodies, mesh: MeshId) {
        let [a, b] = set.matrix().row(mesh).gears;
        let [known_a, known_b] = [a, b].map(|gear| self.speed(bodies, gear.member).cloned());
        let (k_a, k_b) = match (known_a, known_b) {
            (Some(k_a), Some(k_b)) => {
                self.is_stiff |= k_b != &k_a * set.mesh_ratio(a.gear, b.gear);
                (k_a, k_b)
            }
            (Some(k_a), None) => (k_a.clone(), k_a * set.mesh_ratio(a.gear, b.gear)),
            (None, Some(k_b)) => (&k_b * set.mesh_ratio(b.gear, a.gear), k_b),
            (None, None) => return,
        };
        for (member, speed) in [(a.member, k_a), (b.member, k_b)] {
            if self.turning.iter().all(|turning| turning.member != member) {
                self.add(member, speed);
            }
        }
    }

    fn lever(mut self, set: &Gearset, bodies: &Bodies) -> Lever {
        self.turning.sort_by_key(|turning| turning.member);
        let mut nodes = vec![LeverNode { member: self.carrier, joined: Vec::new(), position: Fraction::zero() }];
        let mut planets = Vec::new();
        for turning in &self.turning {
            let is_planet = set.carrier_of(turning.member).is_some_and(|carrier| carrier != MemberId::CASE);
            // With the slope s = 1 a position is the speed against the carrier, which stands at 0.
            let position = if self.is_stiff { Fraction::zero() } else { turning.against_carrier.clone() };
            let list = if is_planet { &mut planets } else { &mut nodes };
            match list.iter_mut().find(|node| bodies.same(node.member, turning.member)) {
                Some(node) => node.joined.push(turning.member),
                None => list.push(LeverNode { member: turning.member, joined: Vec::new(), position }),
            }
        }
        let left = nodes.iter().skip(1).map(|node| node.member).min();
        if let Some(left) = left.filter(|_| !self.is_stiff) {
            arrange(&mut nodes, &mut planets, left);
        }
        Lever { carrier: self.carrier, meshes: self.meshes, nodes, planets, is_stiff: self.is_stiff }
    }
}

/// Integer positions without a common factor, the leftmost 0, with one member left of the first node, which
/// stands at 0; the nodes in order. What a lever of its own shares with them is moved along.
fn arrange(nodes: &mut [LeverNode], along: &mut [LeverNode], left: MemberId) {
    // p -> (p - p_first) d / g, d the common denominator and g the greatest common divisor of what that gives.
    let denominators = nodes.iter().fold(BigInt::one(), |all, node| all.lcm(node.position.denom()));
    let first = nodes[0].position.clone();
    let integer = |position: &Fraction| ((position - &first) * &denominators).to_integer();
    let common = nodes.iter().fold(BigInt::zero(), |all, node| all.gcd(&integer(&node.position)));
    let common = if common.is_zero() { BigInt::one() } else { common };
    let is_right = nodes.iter().any(|node| node.member == left && (&node.position - &first).is_positive());
    let scale = Fraction::new(if is_right { -&denominators } else { denominators.clone() }, common);
    let moved = |position: &Fraction| (position - &first) * &scale;
    let least = nodes.iter().map(|node| moved(&node.position)).min().unwrap_or_default();
    for node in nodes.iter_mut().chain(along) {
        node.position = moved(&node.position) - &least;
    }
    nodes.sort_by(|a, b| a.position.cmp(&b.position));
}
