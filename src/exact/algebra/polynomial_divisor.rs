//! What is the greatest common divisor of polynomials, and which factors are plain to see?
//!
//! Numbers and powers common to all terms are taken out first. An unknown that cannot occur in the divisor
//! leaves the divisor of all coefficients of its powers; that it cannot is shown by an image with numbers
//! modulo a prime put in for the other unknowns: where the leading coefficient does not vanish, the degree of the
//! divisor of the images is a bound. What is left is done by remainders without common factors
//! (Knuth, "The Art of Computer Programming" 2, 3rd ed. 1997, section 4.6.1).

use num_integer::Integer;

use super::polynomial::Polynomial;

/// 2^61 - 1, a prime: the images are taken modulo it.
const PRIME: u64 = (1 << 61) - 1;

impl Polynomial {
    /// The greatest common divisor in integer coefficients: of all common divisors the one that every other divides;
    /// its leading coefficient is positive. With 0 it is the other, made positive.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::Polynomial;
    /// let [a, b] = [0, 1].map(Polynomial::unknown);
    /// let sum = &a + &b;
    /// assert_eq!((&sum * &a).common_divisor(&(&sum * &b)), sum);
    /// ```
    #[must_use]
    pub fn common_divisor(&self, other: &Self) -> Self {
        if self.is_zero() || other.is_zero() {
            return (self + other).with_positive_lead();
        }
        let (content, other_content) = (self.term_content(), other.term_content());
        // gcd(c p, d q) = gcd(c, d) gcd(p, q) for terms c, d and polynomials p, q whose terms have nothing in common
        // (Gauss's lemma).
        let common = term_divisor(&content, &other_content);
        let (one, two) = (exact(self, &content), exact(other, &other_content));
        &primitive_divisor(one.with_positive_lead(), two.with_positive_lead()) * &common
    }

    /// The greatest common divisor of several polynomials; 0 for none.
    pub fn common_divisor_of<'a>(polynomials: impl IntoIterator<Item = &'a Self>) -> Self {
        divisor_of_all(polynomials.into_iter().cloned().collect())
    }

    /// Factors whose product this is, with the common number and powers first: a number, then unknowns, then sums.
    /// Every sum is taken apart where an unknown occurs in one factor only, which is all there is to find
    /// where no unknown occurs squared.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::Polynomial;
    /// let [a, b, c] = [0, 1, 2].map(Polynomial::unknown);
    /// let product = &(&a + &b) * &(&(&a + &c) * &b);
    /// assert_eq!(product.factors(), [b.clone(), &a + &b, &a + &c]);
    /// ```
    pub fn factors(&self) -> Vec<Self> {
        let content = self.term_content();
        let Some((monomial, number)) = content.leading_term() else { return vec![content] };
        let mut sums = Vec::new();
        sums_of(exact(self, &content), &mut sums);
        // Sums are given with a positive lead; the signs they lose go into the number.
        let negative = sums.iter().filter(|sum| sum.leads_negative()).count() % 2 == 1;
        let number = Self::constant(if negative { -number } else { number.clone() });
        let powers = monomial.powers().iter();
        let powers = powers.flat_map(|power| (0..power.exponent).map(|_| Self::unknown(power.unknown)));
        let mut factors: Vec<Self> = (!number.is_one()).then_some(number).into_iter().chain(powers).collect();
        sums.retain(|sum| sum.as_constant().is_none());
        let mut sums: Vec<Self> = sums.into_iter().map(Self::with_positive_lead).collect();
        sums.sort_by(|one, two| two.terms().map(|term| term.0).cmp(one.terms().map(|term| term.0)));
        factors.extend(sums);
        factors
    }

    fn leads_negative(&self) -> bool {
        self.leading_term().is_some_and(|(_, coefficient)| *coefficient < 0.into())
    }

    /// The divisor of all coefficients of the powers of an unknown.
    fn content_in(&self, unknown: usize) -> Self {
        divisor_of_all(self.coefficients(unknown).into_values().collect())
    }
}

/// Takes a polynomial apart by the unknowns that occur in one factor only.
fn sums_of(product: Polynomial, found: &mut Vec<Polynomial>) {
    for unknown in product.unknowns() {
        // The content in an unknown is the product of all factors that are free of it.
        let content = product.content_in(unknown);
        if content.as_constant().is_none() {
            let cofactor = exact(&product, &content);
            sums_of(content, found);
            return sums_of(cofactor, found);
        }
    }
    found.push(product);
}

fn exact(product: &Polynomial, factor: &Polynomial) -> Polynomial {
    product.divided_by(factor).expect("a factor divides its product")
}

/// The divisor of two single terms.
fn term_divisor(one: &Polynomial, two: &Polynomial) -> Polynomial {
    let both = [one, two].map(|term| term.leading_term().expect("the content of what is not zero is a term"));
    let [(monomial, number), (other, factor)] = both;
    Polynomial::from_terms([(monomial.common_divisor(other), number.gcd(factor))])
}

/// The divisor of several polynomials, the shortest taken first.
fn divisor_of_all(mut polynomials: Vec<Polynomial>) -> Polynomial {
    polynomials.sort_by_key(|polynomial| polynomial.terms().len());
    let mut divisor = Polynomial::default();
    for polynomial in &polynomials {
        divisor = divisor.common_divisor(polynomial);
        if divisor.is_one() {
            break;
        }
    }
    divisor
}

/// The divisor of two polynomials whose terms have nothing in common, leading coefficients positive.
fn primitive_divisor(one: Polynomial, two: Polynomial) -> Polynomial {
    if one.as_constant().is_some() || two.as_constant().is_some() {
        return Polynomial::constant(1);
    }
    if one == two {
        return one;
    }
    let unknowns: Vec<usize> = one.unknowns().union(&two.unknowns()).copied().collect();
    // What is free of an unknown divides a polynomial exactly if it divides each coefficient of the unknown's powers.
    for &unknown in &unknowns {
        if cannot_occur(&one, &two, unknown) {
            let coefficients = one.coefficients(unknown).into_values().chain(two.coefficients(unknown).into_values());
            return divisor_of_all(coefficients.collect());
        }
    }
    let (short, long) = if one.terms().len() <= two.terms().len() { (one, two) } else { (two, one) };
    if long.divided_by(&short).is_some() {
        return short;
    }
    let degree = |unknown: &usize| short.degree_in(*unknown).max(long.degree_in(*unknown));
    let unknown = unknowns.iter().copied().min_by_key(degree).expect("what is no number has an unknown");
    by_remainders(&short, &long, unknown)
}

/// The divisor by remainders in one unknown, each without factors that are free of it.
fn by_remainders(one: &Polynomial, two: &Polynomial, unknown: usize) -> Polynomial {
    let (content, other_content) = (one.content_in(unknown), two.content_in(unknown));
    // gcd(c p, d q) = gcd(c, d) gcd(p, q), c and d free of the unknown and p, q without such factors, and so is
    // their divisor: what is taken out of a remainder is none of it.
    let common = content.common_divisor(&other_content);
    let (mut high, mut low) = (exact(one, &content), exact(two, &other_content));
    if high.degree_in(unknown) < low.degree_in(unknown) {
        std::mem::swap(&mut high, &mut low);
    }
    loop {
        // Free of the unknown and without factors that are: 1.
        if low.degree_in(unknown) == 0 {
            return common;
        }
        let remainder = pseudo_remainder(high, &low, unknown);
        if remainder.is_zero() {
            return &common * &low.with_positive_lead();
        }
        let content = remainder.content_in(unknown);
        high = std::mem::replace(&mut low, exact(&remainder, &content));
    }
}

/// The remainder of a multiple of `high`: of `high` times a power of the leading coefficient of `low`, so that no
/// fractions arise.
fn pseudo_remainder(mut high: Polynomial, low: &Polynomial, unknown: usize) -> Polynomial {
    let degree = low.degree_in(unknown);
    let lead = low.coefficients(unknown).remove(&degree).expect("the leading coefficient is there");
    while !high.is_zero() && high.degree_in(unknown) >= degree {
        let own = high.degree_in(unknown);
        let own_lead = high.coefficients(unknown).remove(&own).expect("the leading coefficient is there");
        // lead(low) high - lead(high) x^(n - d) low: the highest power of x cancels.
        let power = (degree..own).fold(own_lead, |power, _| &power * &Polynomial::unknown(unknown));
        high = &(&lead * &high) - &(&power * low);
    }
    high
}

/// Whether it is certain that an unknown does not occur in the divisor.
fn cannot_occur(one: &Polynomial, two: &Polynomial, unknown: usize) -> bool {
    let degrees = [one, two].map(|polynomial| usize::try_from(polynomial.degree_in(unknown)).unwrap_or(usize::MAX));
    if degrees.contains(&0) {
        return true;
    }
    let (one, two) = (image(one, unknown), image(two, unknown));
    // The image of the divisor divides both images. Where the leading coefficients have not vanished, neither has its
    // own, which is a factor of them, and it has kept its degree: coprime images leave it none.
    [&one, &two].iter().zip(degrees).all(|(image, degree)| image.len() == degree + 1) && are_coprime(one, two)
}

/// The coefficients of the powers of one unknown, rising, with numbers for all others; the highest is not zero.
fn image(polynomial: &Polynomial, unknown: usize) -> Vec<u64> {
    let mut image = Vec::new();
    for (monomial, coefficient) in polynomial.terms() {
        let place = usize::try_from(monomial.exponent(unknown)).expect("an exponent of a tooth count is small");
        if image.len() <= place {
            image.resize(place + 1, 0);
        }
        let others = monomial.powers().iter().filter(|power| power.unknown != unknown);
        let others = others.fold(1, |product, power| {
            (0..power.exponent).fold(product, |product, _| times(product, number_for(power.unknown)))
        });
        let coefficient = ((coefficient % PRIME) + PRIME) % PRIME;
        let coefficient = u64::try_from(coefficient).expect("a remainder is below the prime");
        image[place] = (image[place] + times(coefficient, others)) % PRIME;
    }
    trim(&mut image);
    image
}

/// The number that is put in for an unknown: any will do, as long as they have nothing to do with one another.
///
/// Steele, Lea and Flood (2014), "Fast splittable pseudorandom number generators", for the mixing.
fn number_for(unknown: usize) -> u64 {
    let mut mixed = u64::try_from(unknown).unwrap_or(u64::MAX).wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    (mixed ^ (mixed >> 31)) % PRIME
}

/// The product modulo the prime.
fn times(one: u64, two: u64) -> u64 {
    let product = u128::from(one) * u128::from(two) % u128::from(PRIME);
    u64::try_from(product).expect("a remainder is below the prime")
}

/// Drops leading coefficients that are 0.
fn trim(image: &mut Vec<u64>) {
    while image.last() == Some(&0) {
        image.pop();
    }
}

/// Whether two images, neither of them 0, have no common factor but numbers: by Euclid's remainders.
fn are_coprime(mut high: Vec<u64>, mut low: Vec<u64>) -> bool {
    while low.len() > 1 {
        while high.len() >= low.len() {
            let (factor, lead) = (high[high.len() - 1], low[low.len() - 1]);
            // lead(low) high - lead(high) x^shift low, modulo the prime.
            let shift = high.len() - low.len();
            for (place, value) in high.iter_mut().enumerate() {
                let taken = place.checked_sub(shift).map_or(0, |place| times(factor, low[place]));
                *value = (times(lead, *value) + PRIME - taken) % PRIME;
            }
            trim(&mut high);
        }
        std::mem::swap(&mut high, &mut low);
    }
    // A number is left over: coprime. Nothing is: the last divisor is common to both.
    low.len() == 1
}
