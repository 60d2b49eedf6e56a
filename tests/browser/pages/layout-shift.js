/** Runs in the page: how much of it has moved while it loaded (Layout Instability, W3C), 0 for not at all. */
;() =>
  new Promise((resolve) => {
    let total = 0
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) total += entry.value
    }).observe({ type: 'layout-shift', buffered: true })
    // buffered entries are handed over before the frame after next
    requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(() => resolve(total), 0)))
  })
