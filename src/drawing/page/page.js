'use strict';
// Every angle is an exact fraction of a turn, worked out anew from a count of input turns. Fractions are
// [numerator, denominator], whole numbers of any size in lowest terms; a float is made for the screen alone.

const gcd = (a, b) => {
  a = a < 0n ? -a : a;
  while (b) [a, b] = [b, a % b];
  return a < 0n ? -a : a;
};
const fraction = (numerator, denominator) => {
  const common = gcd(numerator, denominator) * (denominator < 0n ? -1n : 1n);
  return [numerator / common, denominator / common];
};
const ZERO = [0n, 1n];
const ONE = [1n, 1n];
const plus = (a, b) => fraction(a[0] * b[1] + b[0] * a[1], a[1] * b[1]);
const minus = (a, b) => plus(a, [-b[0], b[1]]);
const times = (a, b) => fraction(a[0] * b[0], a[1] * b[1]);
const over = (a, b) => times(a, b[0] < 0n ? [-b[1], -b[0]] : [b[1], b[0]]);
const floor = ([n, d]) => n / d - (n % d < 0n ? 1n : 0n);
const partOfTurn = (a) => minus(a, [floor(a), 1n]);
const float = ([n, d]) => {
  const whole = floor([n, d]);
  return Number(whole) + Number(((n - whole * d) * 10n ** 12n) / d) / 1e12;
};
const degrees = (a) => float(times(partOfTurn(a), [360n, 1n]));
const text = ([n, d]) => (d === 1n ? `${n}` : `${n}/${d}`);

// A number as people write it: 3, -1/3, 2.5; null for anything else.
const read = (words) => {
  const parts = /^([+-]?\d+)(?:\.(\d*)|\/(\d+))?$/.exec(words.trim());
  if (!parts) return null;
  if (parts[2] !== undefined) return fraction(BigInt(parts[1] + parts[2]), 10n ** BigInt(parts[2].length));
  const denominator = BigInt(parts[3] ?? 1);
  return denominator === 0n ? null : fraction(BigInt(parts[1]), denominator);
};

// The smallest angle by which the picture moves while it runs, in parts of an input turn.
const TICKS = 7200;
const prefersStill = window.matchMedia('(prefers-reduced-motion: reduce)');

class Train {
  constructor(section) {
    this.section = section;
    this.data = JSON.parse(section.querySelector('script.data').textContent);
    const isOwn = (element) => !element.parentElement.closest('.extra');
    this.all = (selector) => [...section.querySelectorAll(selector)].filter(isOwn);
    this.the = (selector) => section.querySelector(selector);
    this.isFromInput = true;
    this.follows = false;
    this.isBackward = false;
    this.picked = null;
    this.owed = 0;
    this.speeds = this.data.members.map(() => ZERO);
    this.standAsAssembled();
    this.listen();
    for (const button of this.all('.layer')) button.setAttribute('aria-pressed', true);
    if (this.data.states.length) {
      const first = this.data.states[0].input;
      const gear = this.data.gears.findIndex((gear) => gear.member === first || gear.carrier === first);
      this.the('.step-gear').value = Math.max(gear, 0);
      this.chooseState(0);
    }
    this.look();
  }

  // Motion ---------------------------------------------------------------------------------------------------

  standAsAssembled() {
    this.turns = ZERO;
    this.base = this.data.members.map(() => ZERO);
    this.rolledBase = this.data.groups.map(() => ZERO);
  }

  get motion() {
    return this.data.states[this.state];
  }

  speed(member) {
    return this.speeds[member];
  }

  // Turns of a member since it was assembled, whole turns left out.
  place(member) {
    return partOfTurn(plus(this.base[member], times(this.turns, this.speed(member))));
  }

  // Turns of the first planet of a group against its carrier since it was assembled.
  rolled(group) {
    return plus(this.rolledBase[group], times(this.turns, this.rolling(group)));
  }

  rolling(group) {
    return read(this.motion?.members[this.data.groups[group].planet].relative ?? '0');
  }

  isLocked() {
    return !this.motion || this.motion.members[this.motion.input].speed === null;
  }

  chooseState(state) {
    const base = this.data.members.map((_, member) => this.place(member));
    const rolledBase = this.data.groups.map((_, group) => this.rolled(group));
    Object.assign(this, { base, rolledBase, turns: ZERO, state });
    this.speeds = this.motion.members.map((member) => read(member.speed ?? '0'));
    this.tellState();
    this.draw();
  }

  advance(turns) {
    if (this.isLocked()) return;
    this.turns = plus(this.turns, turns);
    this.draw();
  }

  // Turns of the input by which one tooth of the chosen gear passes; null where it stands.
  oneTooth() {
    const gear = this.data.gears[this.the('.step-gear').value];
    const against = minus(this.speed(gear.member), this.speed(gear.carrier));
    const speed = against[0] ? against : this.speed(gear.member);
    if (!speed[0]) return null;
    const turns = over([1n, BigInt(gear.teeth)], speed);
    return turns[0] < 0n !== this.isBackward ? [-turns[0], turns[1]] : turns;
  }

  // Turns of the input until a group has rolled a whole number of its rounds; null where it does not roll.
  untilReturn(group, kind) {
    const [round, speed] = [this.data.groups[group][kind], this.rolling(group)];
    if (!round || !speed[0]) return null;
    const rounds = over(this.rolled(group), read(round));
    const rises = speed[0] > 0n !== this.isBackward;
    const next = rises ? floor(rounds) + 1n : -floor([-rounds[0], rounds[1]]) - 1n;
    return over(times(minus([next, 1n], rounds), read(round)), speed);
  }

  run() {
    this.isRunning = !this.isRunning;
    this.press('.run', this.isRunning);
    this.the('.run').textContent = this.isRunning ? 'stop' : 'run';
    this.before = null;
    if (this.isRunning) this.ask();
    else cancelAnimationFrame(this.asked);
  }

  ask() {
    this.asked = requestAnimationFrame((now) => this.frame(now));
  }

  frame(now) {
    const elapsed = this.before === null ? 0 : Math.min(now - this.before, 200);
    if (prefersStill.matches) {
      // Steps, one a second, for whoever wants no motion.
      if (this.before === null || now - this.before > 1000) {
        this.before = now;
        this.advance(this.oneTooth() ?? [this.isBackward ? -1n : 1n, 36n]);
      }
    } else {
      this.before = now;
      this.owed += (elapsed / 60000) * this.the('input.pace').valueAsNumber * TICKS;
      const ticks = Math.floor(this.owed);
      this.owed -= ticks;
      if (ticks) this.advance([BigInt(this.isBackward ? -ticks : ticks), BigInt(TICKS)]);
    }
    this.ask();
  }

  step() {
    const turns = this.oneTooth();
    if (turns) this.advance(turns);
  }

  // What is seen ---------------------------------------------------------------------------------------------

  draw() {
    const angles = this.data.members.map((_, member) => degrees(this.place(member)));
    for (const figure of this.all('figure')) {
      const carrier = this.data.groups[figure.dataset.group].carrier;
      this.drawFigure(figure, angles, this.follows ? angles[carrier] : 0);
    }
    if (this.motion) this.the('.turned').textContent = `${float(this.turns).toFixed(3)} turned in this state`;
    const range = this.speedRange();
    for (const diagram of this.all('.lever svg')) this.drawLever(diagram, angles, range);
    for (const row of this.all('tbody tr')) {
      const told = this.motion.members[row.dataset.member].speed;
      row.querySelector('.place').textContent = told === null ? '' : `${angles[row.dataset.member].toFixed(2)}°`;
    }
  }

  drawFigure(figure, angles, carried) {
    const view = figure.querySelector('.view');
    if (!view) return;
    view.setAttribute('transform', `scale(${this.isFromInput ? 1 : -1} -1) rotate(${-carried})`);
    for (const gear of view.querySelectorAll('.solid')) {
      const { member, carrier, x, y, tooth } = gear.dataset;
      const arm = carrier === undefined ? 0 : angles[carrier];
      const own = angles[member] - arm + Number(tooth);
      gear.setAttribute('transform', `rotate(${arm}) translate(${x} ${y}) rotate(${own})`);
    }
    const arms = view.querySelector('.arms');
    arms?.setAttribute('transform', `rotate(${angles[arms.dataset.member]})`);
    for (const words of figure.querySelectorAll('.upright')) {
      const { carrier, x, y } = words.dataset;
      const angle = carrier === undefined ? 0 : ((angles[carrier] - carried) * Math.PI) / 180;
      const [right, up] = [x * Math.cos(angle) - y * Math.sin(angle), x * Math.sin(angle) + y * Math.cos(angle)];
      words.setAttribute('transform', `translate(${this.isFromInput ? right : -right} ${-up})`);
    }
  }

  // The least and the greatest speed on any lever of the train, which all have one scale; the case stands.
  speedRange() {
    const speeds = this.all('.node').map((node) => float(this.speed(node.dataset.member)));
    return [Math.min(0, ...speeds), Math.max(0, ...speeds)];
  }

  // Every member of a lever at the height of its speed, its dial as it stands.
  drawLever(diagram, angles, [least, most]) {
    const nodes = [...diagram.querySelectorAll('.node')];
    const speeds = nodes.map((node) => float(this.speed(node.dataset.member)));
    const height = (speed) => diagram.dataset.half * (most > least ? (most + least - 2 * speed) / (most - least) : 1);
    for (const value of diagram.querySelectorAll('.value')) {
      value.textContent = text(this.speed(value.dataset.member));
    }
    const bar = diagram.querySelector('.lever-bar');
    diagram.querySelector('.zero').setAttribute('transform', `translate(0 ${height(0)})`);
    nodes.forEach((node, at) => {
      const y = height(speeds[at]);
      node.setAttribute('transform', `translate(${node.dataset.x} ${y})`);
      const turned = angles[node.dataset.member] * (this.isFromInput ? -1 : 1);
      node.querySelector('.dial').setAttribute('transform', `rotate(${turned})`);
      const ends = at === 0 ? ['1'] : at === nodes.length - 1 ? ['2'] : [];
      for (const end of ends) {
        bar.setAttribute(`x${end}`, node.dataset.x);
        bar.setAttribute(`y${end}`, y);
      }
    });
  }

  tellState() {
    this.tellRoles();
    for (const button of this.all('.state')) button.setAttribute('aria-pressed', Number(button.value) === this.state);
    for (const part of this.all('[data-state]')) part.hidden = Number(part.dataset.state) !== this.state;
    for (const row of this.all('tbody tr')) {
      const told = this.motion.members[row.dataset.member];
      const isChosen = told.open && told.speed !== null;
      row.querySelector('.speed').textContent = isChosen ? `${told.told} (open, as shown)` : told.told;
      row.querySelector('.torque').textContent = told.torque ?? 'not told';
    }
    this.tellPace();
    this.tellSteps();
    this.tell();
  }

  // What every member is in this state, in words: a colour alone would be lost in print and on some eyes.
  tellRoles() {
    for (const row of this.all('tbody tr')) {
      row.querySelector('.role').textContent = this.roles(row.dataset.member).join(' and ');
    }
    for (const words of this.all('.named')) {
      const { member, name } = words.dataset;
      words.textContent = [name, this.roles(member).join(' and ')].filter((part) => part).join(': ');
    }
    for (const part of this.all('.rim, .node')) {
      const roles = this.roles(part.dataset.members ?? part.dataset.member);
      for (const role of ['input', 'output', 'held']) part.classList.toggle(role, roles.includes(role));
    }
  }

  // The roles of members that are written one after the other, each once.
  roles(members) {
    return [...new Set(members.split(' ').flatMap((member) => this.motion.members[member].roles))];
  }

  // How fast and which way every member turns in this view.
  tellPace() {
    if (!this.motion) return;
    this.tellArrows();
    const pace = this.the('input.pace').valueAsNumber * (this.isBackward ? -1 : 1);
    this.the('.pace-told').textContent = Math.abs(pace);
    for (const row of this.all('tbody tr')) {
      const told = this.motion.members[row.dataset.member].speed;
      const turns = told === null ? null : float(read(told)) * pace;
      row.querySelector('.pace').textContent = turns === null ? '' : Number(turns.toPrecision(4));
      row.querySelector('.sense').textContent = turns === null ? '' : this.sense(turns);
    }
  }

  // Arrows show what the eye sees: turns against the carrier where that is followed.
  tellArrows() {
    for (const figure of this.all('figure')) {
      const { carrier } = this.data.groups[figure.dataset.group];
      const carried = this.follows ? this.speed(carrier) : ZERO;
      for (const arrow of figure.querySelectorAll('.arrow')) {
        const [turns] = minus(this.speed(arrow.dataset.member), carried);
        arrow.toggleAttribute('hidden', turns === 0n);
        const isCounterClockwise = (turns > 0n) !== this.isBackward === this.isFromInput;
        arrow.classList.toggle('clockwise', !isCounterClockwise);
      }
    }
  }

  sense(turns) {
    if (turns === 0) return 'stands';
    return turns > 0 === this.isFromInput ? 'counter-clockwise' : 'clockwise';
  }

  // Which steps and returns there are.
  tellSteps() {
    if (!this.motion) return;
    this.the('.step').disabled = this.oneTooth() === null;
    for (const button of this.all('.run, .turn')) button.disabled = this.isLocked();
    if (this.isLocked() && this.isRunning) this.run();
    for (const figure of this.all('figure')) {
      const group = figure.dataset.group;
      const told = [];
      for (const button of figure.querySelectorAll('.return')) {
        const [round, speed] = [this.data.groups[group][button.value], this.rolling(group)];
        button.disabled = !round || !speed[0];
        if (!button.disabled) {
          const turns = over(read(round), speed);
          const what = button.value === 'marks' ? 'marks' : 'every tooth';
          told.push(`${what}: each ${text(turns[0] < 0n ? [-turns[0], turns[1]] : turns)} turns of the input`);
        }
      }
      if (told.length === 1) told.push('nothing has to be marked');
      const none = 'the planets do not roll in this state, so that nothing parts and nothing returns';
      const returned = told.length ? `${told.join('; ')}; as seen from the carrier` : none;
      figure.querySelector('.returned').textContent = returned;
    }
  }

  // The state and the member picked, politely to whoever listens.
  tell() {
    if (!this.motion) return;
    const words = [`${this.motion.name}. ${this.motion.says}`];
    if (this.picked !== null) {
      const { told, torque } = this.motion.members[this.picked];
      const name = this.data.members[this.picked].name;
      words.push(`“${name}”: ${told} turns per turn of the input; torque from outside ${torque ?? 'not told'}.`);
    }
    this.the('.says').textContent = words.join(' ');
  }

  press(selector, isPressed) {
    this.the(selector).setAttribute('aria-pressed', isPressed);
  }

  pick(member) {
    this.picked = this.picked === member ? null : member;
    for (const button of this.all('button.member')) {
      button.setAttribute('aria-pressed', Number(button.value) === this.picked);
    }
    for (const part of this.all('.view [data-member], .node')) {
      part.classList.toggle('picked', Number(part.dataset.member) === this.picked);
    }
    this.tell();
  }

  // Shows or hides what a button names.
  show(button) {
    const isHidden = this.section.classList.toggle(`without-${button.value}`);
    button.setAttribute('aria-pressed', !isHidden);
  }

  look() {
    for (const button of this.all('.side')) {
      button.setAttribute('aria-pressed', (button.value === 'input') === this.isFromInput);
    }
    for (const seen of this.all('.seen')) {
      const carried = this.follows ? ', the carrier held still before the eye' : '';
      seen.textContent = `Seen from the ${this.isFromInput ? 'input side' : 'output side (mirror image)'}${carried}`;
    }
    this.tellPace();
    this.draw();
  }

  // What is pressed ------------------------------------------------------------------------------------------

  listen() {
    const on = (selector, event, action) => {
      for (const element of this.all(selector)) element.addEventListener(event, () => action(element));
    };
    on('.state', 'click', (button) => this.chooseState(Number(button.value)));
    on('.run', 'click', () => this.run());
    on('.backward', 'click', () => {
      this.isBackward = !this.isBackward;
      this.press('.backward', this.isBackward);
      this.tellPace();
    });
    on('input.pace', 'input', () => this.tellPace());
    on('.step', 'click', () => this.step());
    on('.step-gear', 'change', () => this.tellSteps());
    on('.turns', 'input', (field) => field.setAttribute('aria-invalid', read(field.value) === null));
    on('.turn', 'click', () => {
      const written = this.the('.turns').value;
      const turns = read(written);
      if (!turns) this.the('.says').textContent = `“${written}” is no number of turns: write 3, 1/3 or -2.5.`;
      else this.advance(this.isBackward ? [-turns[0], turns[1]] : turns);
    });
    on('.assembled', 'click', () => {
      this.standAsAssembled();
      this.draw();
    });
    on('.return', 'click', (button) => {
      const turns = this.untilReturn(button.closest('figure').dataset.group, button.value);
      if (!turns) return;
      this.advance(turns);
      const back = button.value === 'marks' ? 'The marks are' : 'Every tooth is';
      this.the('.says').textContent = `${back} back after ${text(turns)} further turns of the input.`;
    });
    on('.side', 'click', (button) => {
      this.isFromInput = button.value === 'input';
      this.look();
    });
    on('.follow', 'click', () => {
      this.follows = !this.follows;
      this.press('.follow', this.follows);
      this.look();
    });
    on('.layer', 'click', (button) => this.show(button));
    on('.planes', 'change', (select) => {
      for (const plane of select.closest('figure').querySelectorAll('[data-plane]')) {
        const isNames = plane.classList.contains('names');
        plane.toggleAttribute('hidden', select.value === '' ? isNames : plane.dataset.plane !== select.value);
      }
    });
    on('button.member', 'click', (button) => this.pick(Number(button.value)));
    on('.view [data-member]', 'click', (part) => this.pick(Number(part.dataset.member)));
  }
}

// Large and with the pictures first, for the whole page.
function showOnProjector(button) {
  const isOn = document.documentElement.classList.toggle('projected');
  button.setAttribute('aria-pressed', isOn);
}

const projector = document.querySelector('.projector');
projector.addEventListener('click', () => showOnProjector(projector));
for (const section of document.querySelectorAll('section.gearset')) section.train = new Train(section);
