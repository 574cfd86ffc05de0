// The caravan's door insert in light grey, seen well from the side: the holes'
// walls show, the near rim hides their floor.
#include "photo.inc"
#declare About = "invented: a caravan's door insert in light grey plastic, two holes, clip slots, tilted 15 degrees";
#declare Paper = 0.1;
#declare Seed = 109;
#declare Focal_35 = 27.6;
#include "panel.inc"

Camera(<34, 30, 0>, 420, 15, 215, 5)
Lamp(20, 55, 150, <1, 0.98, 0.95>*0.82)
Room_light(150, <0.95, 0.98, 1>*0.17)

Plastic(<0.48, 0.48, 0.47>, 0.3, 0)
Outline(array[5] {<-70, -74>, <160, -70>, <172, 110>, <60, 160>, <-74, 120>}, 20, 8)
Grille(<82, 58>, 57.5, 0, 0)
Mounting_hole(<41.7, 76.4>, 6.0)
Mounting_hole(<118.9, 28.8>, 6.0)

Slot(<-46, 82>, 18, 7, 90)
Slot(<140, -40>, 18, 7, 20)
Window(<20, 118>, 22, 8, 10)
Clip_tower(<56, -48>, 16, 9, 8, 5)
Stray_hole(<128, 104>, 9)
Stray_hole(<-12, 62>, 4)
Post(<104, -46>, 6, 7)
Rib(<52, -22>, <148, -14>, 1.5, 5)
Panel()

Mesh(<82, 58>, 60, 1.4, 2.4, 1.6, 20, <0.10, 0.10, 0.10>)
Cloth(<82, 58>, 60, 4, <0.02, 0.02, 0.02>)
Square(9, 60, 60, <0, 0>, 0)
Bench(15, Wood(<0.50, 0.38, 0.25>))
Write_truth()
