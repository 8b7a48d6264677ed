// Keeps what was ticked and written, in this browser, for this sheet. Without it the
// sheet works as paper does.
(function () {
  'use strict';
  var main = document.querySelector('main[data-sheet]');
  if (!main) return;
  var name = 'stripwright-sheet-' + main.getAttribute('data-sheet');
  var kept = {};
  try {
    kept = JSON.parse(window.localStorage.getItem(name) || '{}') || {};
  } catch (fault) {
    // A browser that keeps nothing, or something that is not ours: begin anew.
    kept = {};
  }
  function keep() {
    try {
      window.localStorage.setItem(name, JSON.stringify(kept));
    } catch (fault) {
      // Then it is gone when the page is closed, as the sheet says.
      return;
    }
  }
  main.querySelectorAll('input[id]').forEach(function (field) {
    var box = field.type === 'checkbox';
    var value = kept[field.id];
    if (box && value === true) field.checked = true;
    if (!box && typeof value === 'string') field.value = value;
    field.addEventListener('input', function () {
      kept[field.id] = box ? field.checked : field.value;
      keep();
    });
  });
})();
