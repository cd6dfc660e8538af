export function Caution() {
  return (
    <footer class="caution">
      Figures are advisory: the job programme, the tools’ certified ratings, local regulations and licensed persons
      decide. Well control comes first. Nothing is sent to the rig.
    </footer>
  );
}
