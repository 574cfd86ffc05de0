// The overhead panel of an invented bus, with a grille as for a midrange
// loudspeaker: 90 mm, four holes, grained plastic.
#include "photo.inc"
#declare About = "invented: a bus's overhead panel in grained grey plastic, four holes, a 90 mm grille, tilted 12 degrees";
#declare Seed = 107;
#declare Focal_35 = 26.0;
#declare Tint = <1.02, 1, 0.95>;
#include "panel.inc"

Camera(<56, 30, 0>, 450, 12, 70, 3)
Lamp(160, 48, 120, <1, 0.97, 0.92>*0.85)
Room_light(80, <0.94, 0.97, 1>*0.16)

Plastic(<0.26, 0.26, 0.25>, 0.25, 0.12)
Outline(array[6] {<-80, -80>, <196, -80>, <208, 40>, <180, 132>, <-60, 140>, <-88, 50>}, 16, 10)
Grille(<110, 34>, 90.4, 0, 0)
Mounting_hole(<66.2, 79.1>, 5.2)
Mounting_hole(<160.9, 74.6>, 5.2)
Mounting_hole(<151.3, -14.2>, 5.2)
Mounting_hole(<59.4, -6.7>, 5.2)

Stray_hole(<-40, 104>, 8)
Stray_hole(<24, -60>, 5.2)
Window(<160, -58>, 20, 7, 0)
Window(<10, 112>, 20, 7, 0)
Post(<182, 100>, 6, 9)
Rib(<-60, 66>, <44, 66>, 1.6, 6)
Rib(<52, -66>, <136, -66>, 1.6, 6)
Panel()

Mesh(<110, 34>, 93, 1.8, 2.5, 1.7, 30, <0.07, 0.07, 0.07>)
Cloth(<110, 34>, 93, 5, <0.012, 0.012, 0.012>)
Square(7, 60, 60, <0, 0>, 0)
Bench(18, Wood(<0.46, 0.36, 0.24>))
Write_truth()
