//! Numbers, linear systems and the search engine against brute force.

/// Linear congruences, the Smith form and the nearest miss against brute force.
mod congruence;
/// Sparse exact elimination against a dense slow twin.
pub(crate) mod elimination;
/// Several targets at once against one matrix of all their rows.
mod joint_fit;
/// Polynomials: laws, divisors against products made for them, a slow twin.
mod polynomials;
/// A search that may keep little.
mod search_memory;
/// The search against full enumeration of small random problems; parts, threads, the stop flag, wide numbers.
mod searching;
/// Published design problems through the search.
mod searching_published;
