/** Names and values to be typed into a node. */
export function SettingsTable({ rows }: { readonly rows: readonly (readonly [string, string])[] }) {
  return (
    <table>
      <tbody>
        {rows.map(([name, value]) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td>
              <code>{value}</code>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
