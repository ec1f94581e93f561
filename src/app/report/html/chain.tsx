/** The facts behind a result, in their order. */
export function Chain({ because }: { readonly because: readonly string[] }) {
  if (because.length === 0) return null;
  return (
    <div class="chain">
      <ol>
        {because.map((fact, index) => (
          <li key={index}>{fact}</li>
        ))}
      </ol>
    </div>
  );
}
