/** Fillings that tell a gap and an unproven stretch apart without their colour. */
export function Patterns() {
  return (
    <svg width="0" height="0" class="patterns" aria-hidden="true">
      <defs>
        <pattern id="fill-gap" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <rect width="7" height="7" class="fill-ground" />
          <rect width="3.2" height="7" class="fill-high" />
        </pattern>
        <pattern id="fill-unproven" width="6" height="6" patternUnits="userSpaceOnUse">
          <rect width="6" height="6" class="fill-ground" />
          <circle cx="1.600" cy="1.600" r="1.500" class="fill-unproven" />
          <circle cx="4.600" cy="4.600" r="1.500" class="fill-unproven" />
        </pattern>
        <pattern id="fill-rock" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(-35)">
          <rect width="1.200" height="9" class="fill-line" />
        </pattern>
      </defs>
    </svg>
  );
}
