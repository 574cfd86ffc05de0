// A lift cabin's ceiling panel: its holes are moulded with a round edge, which a
// low lamp lights on one side only.
#include "photo.inc"
#declare About = "invented: a lift cabin's ceiling panel in beige plastic, four holes with moulded fillets, a 77 mm grille, tilted 7 degrees";
#declare Seed = 151;
#declare Photo_width = 2592;
#declare Photo_height = 1944;
#declare Focal_35 = 26.4;
#declare Tint = <1.03, 1, 0.93>;
#declare Antialias = 0.02;
#declare Sharpening = 0.7;
#declare Quality = 75;
#include "panel.inc"
#include "wear.inc"

Camera(<56, 14, 0>, 282, 7, 35, 3)
Lamp(12, 33, 90, <1.0, 0.93, 0.82>*0.95)
Sky_light(<0.95, 0.98, 1.0>*0.50)

Plastic(<0.47, 0.43, 0.36>, 0.2, 0.03)
Dusty(<0.52, 0.50, 0.46>, 0.35, 20)
Outline(array[4] {<-62, -74>, <172, -72>, <170, 104>, <-60, 102>}, 12, 6)
Grille(<96, 30>, 77, 0, 0)
Filleted_hole(<49.6, 76.3>, 5.0, 0.5)
Filleted_hole(<142.4, 75.9>, 5.0, 0.5)
Filleted_hole(<142.8, -16.2>, 5.0, 0.5)
Filleted_hole(<49.3, -16.5>, 5.0, 0.5)

Rib(<45, -44>, <152, -44>, 1.5, 5)
Rib(<-48, 62>, <30, 62>, 1.5, 5)
Stray_hole(<158, 30>, 3.2)
Stray_hole(<-46, 84>, 7)
Slot(<96, -58>, 18, 5, 0)
Post(<16, 84>, 6, 5)
Mould_mark(<-20, -58>, 10)
Panel()

Mesh(<96, 30>, 79, 1.4, 3.0, 2.0, 8, <0.30, 0.30, 0.29>)
Cloth(<96, 30>, 79, 5, <0.03, 0.03, 0.03>)
Crumbs(<-58, -70>, <168, 100>, 70, 0.15, 0.9, <0.30, 0.27, 0.22>, 5)
Square(21, 60, 60, <0, 0>, 0)
Bench(11, Mat(<0.20, 0.23, 0.27>))
Write_truth()
